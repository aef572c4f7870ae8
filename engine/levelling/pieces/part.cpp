#include "levelling/pieces/part.hpp"

#include <algorithm>

namespace budwood::levelling {

namespace {

/// What touches the points, each thing once, in order.
template <class Touching>
std::vector<std::uint32_t> touching(const std::vector<PointId>& points, Touching list_of) {
  std::vector<std::uint32_t> all;
  for (const PointId point : points) {
    const std::vector<std::uint32_t>& list = list_of(point);
    all.insert(all.end(), list.begin(), list.end());
  }
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
  return all;
}

}  // namespace

Part::Part(const Problem& whole, const Links& links, const Takings& takings,
           const Schedule& schedule, const std::vector<PointId>& freed)
    : whole_(whole),
      links_(links),
      takings_(takings),
      schedule_(schedule),
      local_(whole.points.size(), none),
      freed_count_(freed.size()) {
  add_points(freed);
  add_lags(freed);
  add_lengths(freed);
  add_uses(freed);
  add_resources();
  add_objectives();
}

void Part::add_points(const std::vector<PointId>& freed) {
  for (const PointId point : freed) {
    local_[point] = static_cast<PointId>(points_.size());
    points_.push_back(point);
    problem_.points.push_back(whole_.points[point]);
    start_.days.push_back(schedule_.days[point]);
  }
}

/// The point in the part; one that is held comes in with the day it has.
PointId Part::local(PointId point) {
  if (local_[point] == none) {
    local_[point] = static_cast<PointId>(points_.size());
    points_.push_back(point);
    const Day day = schedule_.days[point];
    problem_.points.push_back({day, day, nullptr, whole_.points[point].group});
    start_.days.push_back(day);
  }
  return local_[point];
}

void Part::add_lags(const std::vector<PointId>& freed) {
  for (const std::uint32_t id : touching(
           freed, [&](PointId p) -> const auto& { return links_.lags(p); })) {
    const Lag& lag = whole_.lags[id];
    const PointId from = local_[lag.from], to = local_[lag.to];
    if (from != none && to != none) {
      problem_.lags.push_back({from, to, lag.days});
    } else if (to != none) {
      Day& earliest = problem_.points[to].earliest;
      earliest = std::max(earliest, schedule_.days[lag.from] + lag.days);
    } else {
      Day& latest = problem_.points[from].latest;
      latest = std::min(latest, schedule_.days[lag.to] - lag.days);
    }
  }
}

void Part::add_lengths(const std::vector<PointId>& freed) {
  for (const std::uint32_t id : touching(
           freed, [&](PointId p) -> const auto& { return links_.lengths(p); })) {
    const Length& length = whole_.lengths[id];
    const PointId from = local(length.from), to = local(length.to);
    problem_.lengths.push_back({from, to, length.length, length.limit});
  }
}

void Part::add_uses(const std::vector<PointId>& freed) {
  uses_ = touching(
      freed, [&](PointId p) -> const auto& { return links_.uses(p); });
  for (const std::uint32_t id : uses_) {
    Use use = whole_.uses[id];
    use.from.point = local(use.from.point);
    use.to.point = local(use.to.point);
    problem_.uses.push_back(use);
    start_.slips.push_back(schedule_.slips[id]);
  }
}

/// What is left on the days that the part can reach.
void Part::add_resources() {
  problem_.resources.resize(whole_.resources.size());
  std::vector<std::pair<Day, Day>> spans(whole_.resources.size(), {INT32_MAX, INT32_MIN});
  for (const Use& use : problem_.uses) {
    auto& span = spans[use.resource];
    span.first = std::min(span.first, problem_.points[use.from.point].earliest + use.from.offset);
    span.second =
        std::max(span.second, problem_.points[use.to.point].latest + use.to.offset + use.slack);
  }
  for (ResourceId r = 0; r < spans.size(); ++r) {
    if (spans[r].first >= spans[r].second) continue;
    Resource& resource = problem_.resources[r];
    resource.first = spans[r].first;
    for (Day day = spans[r].first; day < spans[r].second; ++day) {
      resource.by_day.push_back(whole_.resources[r].capacity(day) - takings_.at(r, day));
    }
  }
  for (std::size_t i = 0; i < uses_.size(); ++i) {
    const Use& use = problem_.uses[i];
    if (start_.slips[i] == left_out) continue;
    Resource& resource = problem_.resources[use.resource];
    const Day end = start_.days[use.to.point] + use.to.offset + start_.slips[i];
    for (Day day = start_.days[use.from.point] + use.from.offset + start_.slips[i]; day < end;
         ++day) {
      resource.by_day[static_cast<std::size_t>(day - resource.first)] += use.amount;
    }
  }
  for (Resource& resource : problem_.resources) {
    for (Amount& amount : resource.by_day) amount = std::max<Amount>(amount, 0);
  }
}

void Part::add_objectives() {
  for (const std::vector<Term>& terms : whole_.objectives) {
    problem_.objectives.emplace_back();
    for (const Term& term : terms) {
      const PointId point = local_[term.point];
      if (point >= freed_count_) continue;
      problem_.objectives.back().push_back({point, term.wanted, term.late, term.early});
    }
  }
}

void Part::write(const Schedule& part, const Problem& whole, Schedule& schedule,
                 Takings& takings) const {
  for (const std::uint32_t use : uses_) takings.count(whole, schedule, use, -1);
  for (std::size_t i = 0; i < freed_count_; ++i) schedule.days[points_[i]] = part.days[i];
  for (std::size_t i = 0; i < uses_.size(); ++i) schedule.slips[uses_[i]] = part.slips[i];
  for (const std::uint32_t use : uses_) takings.count(whole, schedule, use, 1);
}

}  // namespace budwood::levelling
