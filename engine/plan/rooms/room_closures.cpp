#include "plan/rooms/room_closures.hpp"

#include "plan/plan.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

using calendar::Day;

void RoomClosures::add(const std::string& room, const RoomClosure& closure) {
  std::vector<ClosureId>& known = by_room_[room];
  if (!known.empty() && closure.opens <= all_[known.back()].opens) return;
  known.emplace_back(all_.size());
  all_.push_back(closure);
}

ClosureId RoomClosures::latest(const std::string& room, Day day) const {
  const auto found = by_room_.find(room);
  if (found == by_room_.end()) return {};
  const std::vector<ClosureId>& known = found->second;
  const auto after = std::upper_bound(known.begin(), known.end(), day,
                                      [&](Day d, ClosureId id) { return d < all_[id].day; });
  return after == known.begin() ? ClosureId() : *(after - 1);
}

Shift shift_of(const Plan& plan) {
  const auto& hours = plan.book->site.hours;
  return hours ? Shift{hours->from, hours->to} : Shift{};
}

bool closed_on(const RoomClosure& closure, Day day, const Shift& shift) {
  return closure.opens > day * minutes_a_day + shift.from;
}

Day open_from(const RoomClosure& closure, const Shift& shift) {
  const std::int64_t wait = closure.opens - shift.from;
  return static_cast<Day>((wait + minutes_a_day - 1) / minutes_a_day);
}

std::optional<RoomClosure> closure_after(const Plan& plan, const WorkOrder& order) {
  const sheet::Row row = plan.row_of(plan.batches[order.batch]);
  const double seconds = row.value(row.cells(order.stage, order.work).no_entry, 0);
  if (!(seconds > 0)) return std::nullopt;  // reported with the values of the batch
  constexpr double longest = 60 * 86400.0;
  const double minutes = units::round_up(std::min(seconds, longest) / 60);
  return RoomClosure{
      order.batch, order.stage, order.work, order.date,
      order.date * minutes_a_day + shift_of(plan).to + static_cast<std::int64_t>(minutes)};
}

std::string opening_text(const RoomClosure& closure) {
  return calendar::short_date(static_cast<Day>(closure.opens / minutes_a_day)) + " " +
         calendar::clock_text(static_cast<int>(closure.opens % minutes_a_day));
}

std::string treatment_text(const Plan& plan, const RoomClosure& closure) {
  const BatchPlan& batch = plan.batches[closure.batch];
  const language::Stage& stage = plan.protocol_of(batch).stages[closure.stage];
  return "\"" + stage.works[closure.work].title + "\" of batch " + plan.facts_of(batch).id.value;
}

}  // namespace budwood::plan
