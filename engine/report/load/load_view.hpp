#pragma once

#include <string>
#include <vector>

#include "drawing/drawing.hpp"
#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"
#include "report/formats/filter.hpp"

/// What of a load is shown, and how all formats word it.
namespace budwood::report {

using drawing::DayRange;

/// A room and the days of it that are shown.
struct ShownRoom {
  const plan::RoomLoad* load = nullptr;
  DayRange days;
  std::vector<const plan::RoomOverload*> overloads;  ///< that reach into these days
};

struct ShownCrew {
  const plan::CrewLoad* load = nullptr;
  DayRange days;
  std::vector<const plan::CrewOverload*> overloads;

  double wanted(calendar::Day day) const;
  /// Nothing when the site does not say.
  std::optional<double> there(calendar::Day day) const;
};

/// A stage of a batch that the load of its room leaves out, because nobody knows what it takes.
struct LeftOut {
  const plan::RoomLoad* room = nullptr;
  std::uint32_t batch = 0;  ///< in Plan::batches
  language::StageId stage;
  double plants = 0;
  DayRange days;  ///< on which it stands there
};

struct ShownLoad {
  std::vector<ShownRoom> rooms;
  std::vector<ShownCrew> crews;
  std::vector<LeftOut> left_out;  ///< by room and day

  bool fits() const;
  /// Rooms in which plants stand, and of which the site does not say what they hold.
  std::vector<const ShownRoom*> unjudged() const;
  /// Whether all that stands anywhere is counted and held against something.
  bool complete() const { return left_out.empty() && unjudged().empty(); }
  /// From the first to the last day of all of them.
  DayRange days() const;
};

/// A room hides crews and a crew rooms. A batch leaves the rooms and crews that it uses, the days
/// on which it uses them and the overloads that it is part of; the load is that of all batches all
/// the same. Rooms without a batch on the days that are left are kept when nothing but days is
/// asked for.
ShownLoad shown_load(const plan::Plan& plan, const plan::Load& load, const Filter& filter);

/// Which batches have space in a room on some of the days, each once, by the most that they have on
/// a day; space that is cleaned after them counts.
std::vector<plan::BatchShare> room_shares(const plan::RoomLoad& room, const DayRange& days);
/// Which batches want how much of a crew's time on these days, in all.
std::vector<plan::BatchShare> crew_shares(const plan::Plan& plan, const plan::CrewLoad& crew,
                                          const DayRange& days);

/// "30 trays", "72 m2 in 6 benches", "no limit"; "not told" where nothing is said.
std::string holds_text(const plan::RoomPlace& place);
std::string amount_text(const plan::RoomPlace& place, double base);
/// What a load leaves out, in sentences.
std::vector<std::string> left_out_texts(const plan::Plan& plan, const ShownLoad& shown);
/// "113 %"; "-" of nothing.
std::string of_it_text(double wanted, double there);
/// "A 12 trays, B 7 trays and 3 more".
std::string shares_text(const plan::Plan& plan, const plan::RoomPlace& place,
                        const std::vector<plan::BatchShare>& shares, std::size_t most);
std::string time_shares_text(const plan::Plan& plan, const std::vector<plan::BatchShare>& shares,
                             std::size_t most);
/// "A, B and 3 more".
std::string names_text(const plan::Plan& plan, const std::vector<plan::BatchShare>& shares,
                       std::size_t most);
/// Time of people that can be nothing: "0 h".
std::string hours_text(double person_seconds);

}  // namespace budwood::report
