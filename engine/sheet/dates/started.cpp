#include <algorithm>

#include "sheet/dates/conflict_words.hpp"
#include "sheet/dates/dates.hpp"

/// The dates of a batch that starts on a day.
namespace budwood::sheet {

/// Its first stage starts on that very day, and what its plants go through follows as early as can
/// be. Other parts come as late as they may to be ready for them.
bool DatePlanner::solve_started(const BatchFacts& batch) {
  if (!solver_.earliest(network_, days_)) {
    describe_start(batch);
    return false;
  }
  const auto first = first_stage(*batch.start);
  if (!first) {
    describe_start(batch);
    return false;
  }
  hold_followers(*first);
  return solver_.latest(network_, days_);
}

/// Whether it was recorded that a first stage has begun.
bool DatePlanner::begun(std::int32_t stage) const {
  return recorded_[DateLayout::start_of(stage)] || recorded_[DateLayout::end_of(stage)];
}

/// The stage with which the batch starts on `start`, when all first stages start as early as they
/// can: of several the one that can least be put off, which is that of the part that takes longest.
/// What has begun, begun as it may have, comes before what only could. Nothing when none starts on
/// that day.
std::optional<std::int32_t> DatePlanner::first_stage(Day start) {
  const auto count = static_cast<std::int32_t>(t_.stages.size());
  bool under_way = false;
  for (std::int32_t s = 0; s < count; ++s) under_way = under_way || (takes(s).empty() && begun(s));
  std::vector<std::int32_t> able;
  for (std::int32_t s = 0; s < count; ++s) {
    if (!takes(s).empty()) continue;
    if (under_way ? begun(s) : days_[DateLayout::start_of(s)] == start) able.push_back(s);
  }
  if (able.size() <= 1) return able.empty() ? std::nullopt : std::optional(able.front());
  network_.set_not_after(finish(), days_.back());
  std::vector<Day> latest;
  solver_.latest(network_, latest);
  return *std::min_element(able.begin(), able.end(), [&](std::int32_t a, std::int32_t b) {
    return latest[DateLayout::start_of(a)] < latest[DateLayout::start_of(b)];
  });
}

/// Keeps the stages that the plants of the first one go through on the days of the earliest plan.
void DatePlanner::hold_followers(std::int32_t first) {
  std::vector<bool> follows(t_.stages.size(), false);
  follows[static_cast<std::size_t>(first)] = true;
  for (const std::int32_t s : t_.dates.order) {
    const auto& from = takes(s);
    const bool held = follows[static_cast<std::size_t>(s)] ||
                      std::any_of(from.begin(), from.end(), [&](StageId one) {
                        return follows[static_cast<std::size_t>(one.place())];
                      });
    if (!held) continue;
    follows[static_cast<std::size_t>(s)] = true;
    for (const auto point : {DateLayout::start_of(s), DateLayout::end_of(s)}) {
      network_.set_not_after(point, days_[point]);
    }
  }
  network_.set_not_after(finish(), days_.back());
}

/// The day on which the first stage starts when nothing starts before `day`; nothing when there is
/// no plan then.
std::optional<Day> DatePlanner::first_start_from(Day day, const BatchFacts& batch) {
  BatchFacts moved = batch;
  moved.start = day;
  set_pins(moved);
  std::vector<Day> days;
  if (!solver_.earliest(network_, days)) return std::nullopt;
  std::optional<Day> first;
  for (std::int32_t s = 0; s < static_cast<std::int32_t>(t_.stages.size()); ++s) {
    const Day start = days[DateLayout::start_of(s)];
    if (takes(s).empty() && (!first || start < *first)) first = start;
  }
  return first;
}

/// The day nearest to the one asked for on which the batch can start, of two the earlier one.
std::optional<Day> DatePlanner::nearest_start(const BatchFacts& batch) {
  constexpr Day farthest = 366;
  const Day asked = *batch.start;
  const auto later = first_start_from(asked, batch);
  if (later) {
    const Day most = std::min(*later - asked, farthest);
    for (Day by = 1; by <= most; ++by) {
      if (asked - by >= calendar::first_day && first_start_from(asked - by, batch) == asked - by) {
        return asked - by;
      }
    }
    return later;
  }
  // Too late: the earlier nothing starts, the more plans there are.
  Day good = std::max(asked - farthest, calendar::first_day);
  if (!first_start_from(good, batch)) return std::nullopt;
  for (Day bad = asked; bad - good > 1;) {
    const Day middle = good + (bad - good) / 2;
    (first_start_from(middle, batch) ? good : bad) = middle;
  }
  return first_start_from(good, batch);
}

/// Why the batch cannot start on its day, and on which it can.
void DatePlanner::describe_start(const BatchFacts& batch) {
  const std::optional<Day> nearest = nearest_start(batch);
  set_pins(batch);
  network_.set_not_after(finish(), std::nullopt);
  std::vector<Day> days;
  if (solver_.earliest(network_, days)) {
    // There are plans, but none on that day: what keeps the stage that comes first from it?
    std::optional<network::PointId> first;
    for (std::int32_t s = 0; s < static_cast<std::int32_t>(t_.stages.size()); ++s) {
      const network::PointId point = DateLayout::start_of(s);
      if (takes(s).empty() && (!first || days[point] < days[*first])) first = point;
    }
    network_.set_not_after(*first, *batch.start);
  }
  conflict_ = describe(network::shortest_conflict(network_), batch);
  if (!nearest) return;
  const Day by = *nearest - *batch.start;
  conflict_->repairs.insert(
      conflict_->repairs.begin(),
      {"Start the batch " + days_text(std::abs(by)) + (by < 0 ? " earlier" : " later") + ", on " +
           date_text(*nearest) + ": the nearest day on which it can start.",
       "start", *nearest});
}

}  // namespace budwood::sheet
