#include "plan/orders/turns.hpp"

#include <algorithm>

namespace budwood::plan {

using calendar::Day;

StageSpan stage_span(const sheet::Sheet& sheet, std::size_t row, std::size_t stage) {
  const sheet::StageCells& cells = sheet.layout().stages[stage];
  const auto first = static_cast<Day>(sheet.value(cells.start, row));
  const auto length = static_cast<int>(sheet.value(cells.days, row));
  return {first, first + sheet::last_offset(length)};
}

std::vector<Turn> turns_of(const sheet::Sheet& sheet, std::size_t row, std::size_t stage,
                           std::size_t work) {
  const language::Work& written = sheet.layout().protocol.stages[stage].works[work];
  const StageSpan span = stage_span(sheet, row, stage);
  const auto length = static_cast<int>(sheet.value(sheet.layout().stages[stage].days, row));
  std::vector<Turn> out;
  for (const int offset : sheet::due_days(written.timing, length)) {
    const Day due = span.first + offset;
    out.push_back({static_cast<std::uint16_t>(out.size() + 1), due,
                   sheet::work_day(written, due, span.last, sheet.site().working)});
  }
  return out;
}

Day latest_day(const language::Work& work, Day due, const StageSpan& span) {
  return std::min(due + work.timing.within, std::max(due, span.last));
}

}  // namespace budwood::plan
