#include "plan/level/level_relief.hpp"
#include "units/rounding.hpp"

#include <algorithm>
#include <map>

namespace budwood::plan {

using calendar::Day;
using levelling::Amount;
using levelling::GroupId;
using levelling::PointId;
using levelling::Problem;

namespace {

constexpr Day most_days_later = 56;

struct Span {
  Day first = 0, end = 0;
};

Span span_of(const levelling::Use& use, const levelling::Schedule& schedule, std::size_t id) {
  const Day slip = schedule.slips[id];
  return {schedule.days[use.from.point] + use.from.offset + slip,
          schedule.days[use.to.point] + use.to.offset + slip};
}

/// One group alone, beside what all others take.
class Beside {
 public:
  Beside(const LevelProblem& levelled, const levelling::Schedule& schedule,
         const std::vector<bool>& dated, GroupId group)
      : group_(levelled.groups()[group]) {
    const Problem& all = levelled.problem();
    for (levelling::ResourceId r = 0; r < all.resources.size(); ++r) {
      open(all, all.resources[r]);
      is_apart_.push_back(levelled.name_of(r).kind == LevelProblem::Named::Kind::apart);
    }
    for (std::size_t u = 0; u < all.uses.size(); ++u) {
      const levelling::Use& use = all.uses[u];
      const GroupId owner = all.points[use.from.point].group;
      if (owner == group) {
        alone_.uses.push_back(moved(use));
      } else if (dated[owner] && schedule.slips[u] != levelling::left_out) {
        take(use, span_of(use, schedule, u));
      }
    }
    for (PointId p = group_.first; p <= group_.ready; ++p) {
      alone_.points.push_back(all.points[p]);
      alone_.points.back().group = 0;
      wanted_.push_back(levelled.today()[p]);
    }
    for (const levelling::Lag& lag : all.lags) {
      if (is_mine(lag.from)) alone_.lags.push_back({at(lag.from), at(lag.to), lag.days});
    }
    for (const levelling::Length& length : all.lengths) {
      if (!is_mine(length.from)) continue;
      alone_.lengths.push_back({at(length.from), at(length.to), length.length, length.limit});
    }
    alone_.objectives.resize(1);
    const PointId ready = at(group_.ready);
    alone_.objectives[0].push_back({ready, wanted_[ready], 1, 1});
  }

  /// By how many days later than its latest it would find a place.
  std::optional<Day> days_later() const {
    Problem later = alone_;
    const PointId ready = at(group_.ready);
    const Day latest = later.points[ready].latest;
    for (levelling::Point& point : later.points) {
      if (point.earliest < point.latest) point.latest += most_days_later;
    }
    // It may have had to be ready on just that day.
    later.points[ready].earliest = latest + 1;
    later.points[ready].latest = latest + most_days_later;
    later.objectives[0][0] = {ready, latest, 1, 1};
    const levelling::Season found = place(later);
    if (!found.placed[0]) return std::nullopt;
    return found.schedule.days[ready] - latest;
  }

  /// The largest share of the batch, in tenths, that finds a place.
  int tenths_that_fit() const {
    for (int tenths = 9; tenths >= 1; --tenths) {
      Problem smaller = alone_;
      for (levelling::Use& use : smaller.uses) {
        // Fewer plants want the same climate.
        if (!is_apart_[use.resource]) use.amount = use.amount * tenths / 10 + 1;
      }
      if (place(smaller).placed[0]) return tenths;
    }
    return 0;
  }

  /// Of each resource the days on which some is missing where it stands, and how much on the worst.
  struct Missing {
    Day first = 0, last = 0;
    Amount amount = 0;
  };
  std::map<levelling::ResourceId, Missing> missing() const {
    std::map<levelling::ResourceId, Missing> out;
    const levelling::Season found = place(alone_);
    if (!found.dated[0]) return out;
    std::map<std::pair<levelling::ResourceId, Day>, Amount> taken;
    for (std::size_t u = 0; u < alone_.uses.size(); ++u) {
      if (found.schedule.slips[u] == levelling::left_out) continue;
      const Span span = span_of(alone_.uses[u], found.schedule, u);
      for (Day day = span.first; day < span.end; ++day) {
        taken[{alone_.uses[u].resource, day}] += alone_.uses[u].amount;
      }
    }
    for (const auto& [place, amount] : taken) {
      const Amount free = std::max<Amount>(0, alone_.resources[place.first].capacity(place.second));
      if (amount <= free) continue;
      Missing& here =
          out.try_emplace(place.first, Missing{place.second, place.second, 0}).first->second;
      here.last = place.second;
      here.amount = std::max(here.amount, amount - free);
    }
    return out;
  }

 private:
  bool is_mine(PointId point) const { return point >= group_.first && point <= group_.ready; }
  PointId at(PointId point) const { return point - group_.first; }

  levelling::Use moved(levelling::Use use) const {
    use.from.point = at(use.from.point);
    use.to.point = at(use.to.point);
    return use;
  }

  /// A resource with a number for each day that can matter.
  void open(const Problem& all, const levelling::Resource& resource) {
    levelling::Resource own;
    own.otherwise = resource.otherwise;
    constexpr Day around = 180;
    own.first = all.points[group_.first].earliest - around;
    const Day last = all.points[group_.ready].latest + around;
    for (Day day = own.first; day <= last; ++day) own.by_day.push_back(resource.capacity(day));
    alone_.resources.push_back(std::move(own));
  }

  void take(const levelling::Use& use, Span span) {
    levelling::Resource& resource = alone_.resources[use.resource];
    const Day end = resource.first + static_cast<Day>(resource.by_day.size());
    for (Day day = std::max(span.first, resource.first); day < std::min(span.end, end); ++day) {
      resource.by_day[static_cast<std::size_t>(day - resource.first)] -= use.amount;
    }
  }

  levelling::Season place(const Problem& problem) const {
    levelling::SeasonOptions options;
    options.wanted = wanted_;
    return levelling::level_season(problem, options);
  }

  LevelProblem::Group group_;
  Problem alone_;
  std::vector<bool> is_apart_;  ///< by resource
  std::vector<Day> wanted_;
};

std::string amount_text(const LevelProblem::Named& named, Amount amount) {
  const double base = static_cast<double>(amount) / named.step;
  if (named.is_crew()) return hours_text(base);
  const double count = base / named.unit.factor;
  const bool whole = !named.unit.noun.empty();
  return units::format(whole ? units::round_up(count) * named.unit.factor : base, named.unit, 3);
}

std::string days_of(const Beside::Missing& one) {
  if (one.first == one.last) return "on " + calendar::short_date(one.first);
  return "from " + calendar::short_date(one.first) + " to " + calendar::short_date(one.last);
}

}  // namespace

std::string crew_text(const std::string& name, bool on_duty) {
  return "crew `" + name + "`" + (on_duty ? " on duty" : "");
}

std::string hours_text(double seconds) {
  constexpr double quarter_hour = 900;
  return units::format(std::ceil(seconds / quarter_hour) * quarter_hour, *units::find_unit("h"), 3);
}

Unresolved find_relief(const LevelProblem& levelled, const levelling::Schedule& schedule,
                       const std::vector<bool>& dated, GroupId group, const Plan& plan) {
  const LevelProblem::Group& facts = levelled.groups()[group];
  const book::Batch& batch = plan.facts_of(plan.batches[facts.batches.front()]);
  Unresolved out;
  out.batch = batch.id.value;
  const Beside beside(levelled, schedule, dated, group);
  for (const auto& [resource, missing] : beside.missing()) {
    const LevelProblem::Named& named = levelled.name_of(resource);
    const std::string amount = amount_text(named, missing.amount);
    const std::string when = days_of(missing);
    if (named.kind == LevelProblem::Named::Kind::apart) {
      out.short_of.push_back(named.name + " " + when);
    } else if (!named.is_crew()) {
      out.short_of.push_back("`" + named.name + "` lacks room for " + amount + " " + when);
      out.reliefs.push_back("Make room for " + amount + " more in `" + named.name + "` " + when +
                            ".");
    } else {
      const std::string who = crew_text(named.name, named.kind == LevelProblem::Named::Kind::duty);
      out.short_of.push_back(who + " lacks up to " + amount + " " + when);
      out.reliefs.push_back("Have up to " + amount + " a day more of " + who + " " + when + ".");
    }
  }
  if (out.reliefs.size() > 1) {
    // Each alone would not do.
    std::string all = out.reliefs.front();
    for (std::size_t i = 1; i < out.reliefs.size(); ++i) all += " And: " + out.reliefs[i];
    out.reliefs = {all};
  }
  if (const auto later = beside.days_later()) {
    out.reliefs.push_back("Let it be ready " + calendar::days_text(*later) +
                          " later than it may be now.");
  }
  if (const int tenths = beside.tenths_that_fit(); tenths > 0 && batch.plants.value > 1) {
    const std::int64_t plants = batch.plants.value * tenths / 10;
    if (plants > 0) {
      out.reliefs.push_back("Split it: " + std::to_string(plants) + " plants find a place, " +
                            std::to_string(batch.plants.value - plants) + " need other dates.");
    }
  }
  return out;
}

}  // namespace budwood::plan
