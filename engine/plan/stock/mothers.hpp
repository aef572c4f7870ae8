/// What mother plants give, and what batches take of it.
///
/// Mothers give in rounds: on the day from which they give, and again each time that so many days
/// have passed, each plant has so many pieces. What nobody takes in its round is gone with the next
/// one: shoots grow hard, buds break. Rounds are taken from in the order of the work.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "book/stock/stock.hpp"
#include "calendar/calendar.hpp"
#include "language/model.hpp"

namespace budwood::plan {

struct Plan;

/// What one order takes of mother plants.
struct MotherTaking {
  std::uint32_t order = 0;  ///< in Plan::orders
  std::uint32_t batch = 0;  ///< in Plan::batches
  std::string supply;
  std::string mothers;  ///< "": none give it
  calendar::Day day = 0;
  int round = -1;         ///< of the mothers, from 0
  double amount = 0;      ///< base units of the supply
  bool done = false;      ///< it was taken already
  std::string wanted_of;  ///< of what none give: of which mothers; "" when there are none for it
};

/// A week of some mother plants.
struct MotherWeek {
  std::string mothers;
  std::string supply;
  calendar::Day monday = 0;
  double there = 0;  ///< can be taken in this week: what is left of the round, and a new one
  double taken = 0;
  double missing = 0;  ///< wanted in this week, and not there
};

/// What is missing in a round, and what would help.
struct MotherShortage {
  std::string mothers;
  std::string supply;
  calendar::Day monday = 0;  ///< of the week in which it is wanted
  calendar::Day day = 0;     ///< the first on which it is wanted
  double missing = 0;
  double wanted = 0;                    ///< in the whole round
  std::vector<std::uint32_t> batches;   ///< that go short, in Plan::batches
  std::optional<std::int64_t> keep;     ///< plants that would be enough; none outside of a round
  std::optional<calendar::Day> plant;   ///< when those that are missing have to be planted
  std::optional<calendar::Day> enough;  ///< from then on there is enough for it
};

/// What the plan takes of mother plants; made once its orders are.
struct MotherUse {
  std::map<std::string, double> each;  ///< by mothers: base units of each plant, each round
  std::vector<MotherTaking> takings;   ///< by day
  std::map<std::uint32_t, std::vector<std::uint32_t>> by_batch;  ///< in `takings`
  std::vector<MotherShortage> shortages;                         ///< by week
};

/// Works it out, and has what is missing told as conflicts; what is wrong with the mothers is
/// reported.
void take_from_mothers(Plan& plan, text::Diagnostics& diagnostics);

/// The weeks from the first in which something is taken of any mothers to the last, by mothers.
std::vector<MotherWeek> mother_weeks(const Plan& plan);
/// The day on which mothers are too old; none when that is not said.
std::optional<calendar::Day> renewal_of(const book::Mothers& mothers);

/// The supplies that a batch takes of mothers, by name.
std::vector<std::string> supplies_from_mothers(const Plan& plan, std::uint32_t batch);
/// "fuchsia", "fuchsia (generation 2)": the mothers of which a batch takes a supply.
std::string mothers_text(const Plan& plan, std::uint32_t batch, const std::string& supply);

}  // namespace budwood::plan
