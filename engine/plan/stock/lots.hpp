/// Which lots batches take their material from.
///
/// Lots are taken by the day on which a stage begins that uses the supply, those that expire first
/// before others. What comes up of a lot is what its own test says, times the field factor of the
/// supply. Plants of two lots have the mean of both rates, each by its plants: what comes up of
/// all is then sure at least as often as the sheet says (Hoeffding 1956, Ann. Math. Statist.
/// 27:713-721: of independent trials with one mean those with equal rates scatter most). The number
/// to start and the lots depend on each other, so both are tried until they agree.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "book/stock/stock.hpp"
#include "calendar/calendar.hpp"
#include "language/model.hpp"
#include "text/text.hpp"

namespace budwood::plan {

struct BatchPlan;
struct Plan;

/// What is started of one lot.
struct LotShare {
  std::string lot;                   ///< "": no lot has it, so it has still to be bought
  const book::Lot* facts = nullptr;  ///< nullptr: see `lot`
  double plants = 0;
  double amount = 0;  ///< base units of the supply; what is spoilt is in it
  /// The share that comes through, by the lot's test; a NaN where it was not tested.
  double rate = std::numeric_limits<double>::quiet_NaN();
};

/// What a stage of a batch takes of a supply of which there are lots.
struct LotTaking {
  std::uint32_t batch = 0;  ///< in Plan::batches
  language::StageId stage;
  language::SupplyId supply;
  calendar::Day day = 0;  ///< on which the stage begins
  /// The input that the tests of the lots say; none where they say nothing.
  language::InputId input;
  double usual = 0;   ///< the share that comes through of what was not tested
  bool done = false;  ///< it was taken: an order that uses it is done
  std::vector<LotShare> shares;

  double plants() const;
};

/// How a lot stands: what was there, who takes of it, what is left.
struct LotBalance {
  std::string lot;
  const book::Lot* facts = nullptr;
  const language::Supply* supply = nullptr;
  double count = 0;  ///< base units
  double taken = 0;
  double done = 0;  ///< of what is taken, what was taken already
  struct Part {
    std::size_t taking = 0;  ///< in Plan::lots
    std::size_t share = 0;
  };
  std::vector<Part> parts;  ///< by day
  double left() const { return count - taken; }
};

/// Has all batches of a plan take from the lots of its site and count with their tests. The sheets
/// are worked out, and no order is made yet. What cannot be right is reported: lots that have
/// expired or were not tested, old tests, too little for the season.
void take_lots(Plan& plan, text::Diagnostics& diagnostics);

/// What a stage takes of a supply by lot; nullptr when it has no lots.
const LotTaking* taking_of(const Plan& plan, std::uint32_t batch, language::StageId stage,
                           const std::string& supply);
/// The lots that tell an input of a batch; nullptr when none do.
const LotTaking* taking_behind(const Plan& plan, std::uint32_t batch, language::InputId input);

/// Each lot of the site whose supply the protocols know, by supply, then in the order in which lots
/// are taken.
std::vector<LotBalance> lot_balances(const Plan& plan);
/// What batches miss because no lot has it, by day.
std::vector<std::size_t> takings_that_miss(const Plan& plan);

/// A row of an order: so many of its plants are of one lot.
struct LotPiece {
  const LotShare* share = nullptr;
  double plants = 0;
};
/// The lots of the plants number `from` to `to` of a stage, counted from 0.
std::vector<LotPiece> pieces_of(const LotTaking& taking, double from, double to);

/// Where the supplies of a batch come from, by supply: what its book says, and the lots and mother
/// plants that it takes from, "T-114 and T-120".
struct Origin {
  std::string supply;
  std::string text;
};
std::vector<Origin> origins_of(const Plan& plan, const BatchPlan& batch);

/// "176 of 200 on 2027-01-12".
std::string test_text(const book::GerminationTest& test);
/// "312 of T-114, 88 % (176 of 200 on 2027-01-12)"; of what has to be bought "40 still to be
/// bought".
std::string share_text(const LotShare& share, const LotTaking& taking);

}  // namespace budwood::plan
