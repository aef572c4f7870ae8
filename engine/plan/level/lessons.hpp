/// Private to this module: what levelling learns from the plans that come of it.
///
/// A problem of levelling does not say all that a plan rests on: climates that stand in one room,
/// rooms that are closed after a treatment, work that moves once more when all is planned anew. The
/// levelled dates are planned, and what does not fit there is kept in mind: the season is levelled
/// again with that, until nothing new is found.
#pragma once

#include <cstdint>
#include <map>
#include <set>
#include <string>
#include <tuple>
#include <utility>

#include "levelling/levelling.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

struct Lessons {
  using Amounts = std::map<calendar::Day, levelling::Amount>;
  /// Hours of duty are told where they do not do, but keep nothing from its place: where they are
  /// too few whatever is done, rooms and crews are levelled all the same.
  bool open_duty = false;
  using Pair = std::pair<std::uint32_t, std::uint32_t>;  ///< in Plan::batches

  /// By how much less of a resource there is than there seemed to be.
  std::map<levelling::ResourceId, Amounts> less;
  std::set<std::string> climates;  ///< rooms in which different climates are kept apart
  std::set<Pair> apart;            ///< batches that are kept apart in rooms with several zones
  /// Work of the second is kept off the days on which treatments of the first close its room.
  std::set<Pair> treated;
  /// Days on which a stage of a batch does not start.
  std::set<std::tuple<std::uint32_t, language::StageId, calendar::Day>> not_on;

  /// Adds what others say; whether it is news.
  bool add(const Lessons& others) {
    const auto before = count();
    for (const auto& [resource, amounts] : others.less) {
      for (const auto& [day, amount] : amounts) less[resource][day] += amount;
    }
    climates.insert(others.climates.begin(), others.climates.end());
    apart.insert(others.apart.begin(), others.apart.end());
    treated.insert(others.treated.begin(), others.treated.end());
    not_on.insert(others.not_on.begin(), others.not_on.end());
    return count() > before || !others.less.empty();
  }

 private:
  std::size_t count() const {
    return climates.size() + apart.size() + treated.size() + not_on.size();
  }
};

}  // namespace budwood::plan
