#include "plan/orders/turns.hpp"

#include <algorithm>

namespace budwood::plan {

using calendar::Day;

StageSpan stage_span(const sheet::Row& row, StageId stage) {
  const Day first = row.start(stage);
  return {first, first + sheet::last_offset(row.days(row.cells(stage).days))};
}

std::vector<Turn> turns_of(const sheet::Row& row, StageId stage, WorkId work) {
  const language::Work& written = row.stage(stage).works[work];
  const StageSpan span = stage_span(row, stage);
  const int length = row.days(row.cells(stage).days);
  std::vector<Turn> out;
  for (const int offset : sheet::due_days(written.timing, length)) {
    const Day due = span.first + offset;
    out.push_back(
        {static_cast<std::uint16_t>(out.size() + 1), due,
         sheet::work_day(written, due, {span.first, span.last}, row.sheet().site().working)});
  }
  return out;
}

Day latest_day(const language::Work& work, Day due, const StageSpan& span) {
  return sheet::latest_day(work, due, span.last);
}

}  // namespace budwood::plan
