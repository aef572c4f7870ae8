#include "plan/orders/turns.hpp"

#include <algorithm>

namespace budwood::plan {

using calendar::Day;

namespace {

int days_of(const sheet::Row& row, StageId stage, WorkId work) {
  const bool goes_on = language::goes_on_in_wait(row.stage(stage).works[work]);
  return goes_on ? row.days_with_wait(stage) : row.days(row.cells(stage).days);
}

StageSpan span_of(Day first, int length) {
  return {first, first + sheet::last_offset(length)};
}

}  // namespace

StageSpan stage_span(const sheet::Row& row, StageId stage) {
  return span_of(row.start(stage), row.days(row.cells(stage).days));
}

StageSpan work_span(const sheet::Row& row, StageId stage, WorkId work) {
  return span_of(row.start(stage), days_of(row, stage, work));
}

std::vector<Turn> turns_of(const sheet::Row& row, StageId stage, WorkId work) {
  const language::Work& written = row.stage(stage).works[work];
  const int length = days_of(row, stage, work);
  const StageSpan span = span_of(row.start(stage), length);
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
