#include "plan/level/level_relief.hpp"

#include <algorithm>

#include "plan/level/beside.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

using calendar::Day;
using levelling::Amount;
using levelling::GroupId;

namespace {

/// Days from the first to the last on which some is missing, and how much on the worst.
struct Missing {
  Day first = 0, last = 0;
  Amount amount = 0;
};

Missing missing_of(const Beside::Amounts& days) {
  Missing out{days.begin()->first, days.rbegin()->first, 0};
  for (const auto& [day, amount] : days) out.amount = std::max(out.amount, amount);
  return out;
}

std::string days_of(const Missing& one) {
  if (one.first == one.last) return "on " + calendar::short_date(one.first);
  return "from " + calendar::short_date(one.first) + " to " + calendar::short_date(one.last);
}

}  // namespace

std::string amount_text(const LevelProblem::Named& named, Amount amount) {
  const double base = static_cast<double>(amount) / named.step;
  if (named.is_crew()) return hours_text(base);
  const double count = base / named.unit.factor;
  const bool whole = !named.unit.noun.empty();
  return units::format(whole ? units::round_up(count) * named.unit.factor : base, named.unit, 3);
}

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
  const Beside beside(levelled, schedule, dated, {group});
  for (const auto& [resource, days] : beside.missing(false)) {
    const Missing missing = missing_of(days);
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
