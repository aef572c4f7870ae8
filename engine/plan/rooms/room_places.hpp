/// What a stage takes of which room, with whose start it ends, and whether the batch goes on in
/// the room, is looked up before there are dates; stays, conflicts and levelling put dates to
/// it. A stage takes what its `space` says of the days, for as many plants as it starts with.
/// Turnover is no part of a length, but of the room.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "sheet/site/site.hpp"
#include "units/units.hpp"

/// Where batches stand, and how much of a room they take.
///
/// A batch stands in the room of a stage from the day on which the stage starts until the next
/// stage takes its plants, days of waiting included; after its last stage until the day on which
/// it is ready, when it is handed over. Work that is done on one day takes its room on that day.
/// Afterwards the space is cleaned for the room's `turnover`, unless the next stage of the batch
/// stands in the same room.
namespace budwood::plan {

struct Plan;

/// How a stage of a protocol stands in its room from one of its days on, whatever the batch and its
/// dates are. A stage whose `space` changes has several, by day.
struct Standing {
  language::StageId stage;
  int from = 0;             ///< days after the start of the stage
  std::optional<int> to{};  ///< up to so many days after it, if it lasts as long; none: to its end
  std::uint32_t room = 0;   ///< in RoomPlaces::rooms()
  /// What it takes: `factor` times this cell, base units of the room's unit; no cell when it is not
  /// counted.
  sheet::CellId amount = sheet::no_cell;
  double factor = 1;
  /// It ends with the start of the last of these stages; with none when the batch is ready.
  std::vector<language::StageId> until;
  /// The batch stays on in the room with one of them: no turnover, and no day of its own for a
  /// stage that is over on the day on which it starts.
  bool goes_on = false;
  int turnover = 0;  ///< days after its end for which the space is not free yet
};

/// A stage of a batch in a room, or some of its days with another space than the others: the space
/// is taken on the days first <= d < free.
struct Stay {
  std::uint32_t batch = 0;  ///< in Plan::batches
  language::StageId stage;
  std::uint32_t room = 0;  ///< in RoomPlaces::rooms(), which is the order of Load::rooms
  calendar::Day first = 0;
  calendar::Day left = 0;  ///< the first day on which the plants are gone; not before `first`
  calendar::Day free = 0;  ///< the first day on which the space can be used again
  double amount = 0;       ///< base units of the room's unit
  bool counted = true;     ///< false: what it takes is not known, and `amount` is 0
};

/// A room as the stages of a plan use it.
struct RoomPlace {
  std::string room;
  bool known = false;           ///< the site has it
  units::Unit unit;             ///< in which its space is counted
  std::optional<double> holds;  ///< base units; none: it is never full
  bool unlimited = false;       ///< the site says that it never is
  std::string vessel;           ///< "benches", where it is so many of a size; else ""
  double vessel_holds = 0;      ///< base units in one of them
  int turnover = 0;             ///< days

  /// Whether its load can be held against something, or need not be.
  bool judged() const { return holds || unlimited; }
};

/// The unit in which a stage says its `space`.
units::Unit space_unit(const language::Space& space);
/// Whether amounts in one unit can be held against amounts in the other: both measure the same, or
/// count the same things.
bool same_measure(const units::Unit& a, const units::Unit& b);

/// What each stage takes of which room: all that does not depend on dates, looked up once.
///
/// A room is counted in the unit in which it holds something. One without `holds` is counted in the
/// unit in which all of its stages say their `space`, in m2 where all of them take up some, else in
/// plants. What is counted in trays takes their footprints of a room that is counted in m2, and
/// what is counted in benches takes what a bench of the room holds. A stage without `space` takes
/// its plants of a room that counts plants; otherwise a stage whose unit is another one is not
/// counted
/// (`check_places` and the load report it).
class RoomPlaces {
 public:
  explicit RoomPlaces(const Plan& plan);

  /// The rooms of the site and of the stages of planned protocols, by name.
  const std::vector<RoomPlace>& rooms() const { return rooms_; }
  /// By stage; stages without a room are left out. `sheet`: in Plan::sheets.
  const std::vector<Standing>& standings(std::size_t sheet) const { return standings_[sheet]; }
  /// What a batch takes there, base units; nothing when it is not known.
  std::optional<double> amount(const Standing& standing, std::uint32_t batch) const;
  /// Where a batch stands, by stage; none without dates.
  std::vector<Stay> stays_of(std::uint32_t batch) const;

 private:
  const Plan* plan_;
  std::vector<RoomPlace> rooms_;
  std::vector<std::vector<Standing>> standings_;  ///< as Plan::sheets
};

/// Where a batch stands, by stage. For many batches make one RoomPlaces.
std::vector<Stay> stays_of(const Plan& plan, std::uint32_t batch);

}  // namespace budwood::plan
