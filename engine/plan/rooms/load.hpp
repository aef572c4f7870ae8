#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/room_places.hpp"
#include "text/text.hpp"

/// Rooms and crews, day by day, against what they hold.
///
///   Plan --load_of--> Load
namespace budwood::plan {

/// What a batch takes of something.
struct BatchShare {
  std::uint32_t batch = 0;  ///< in Plan::batches
  double amount = 0;        ///< base units
};

/// Days in a row on each of which more is wanted of a room than it holds.
struct RoomOverload {
  calendar::Day first = 0;
  calendar::Day last = 0;
  calendar::Day worst = 0;             ///< the first day on which most is wanted
  double wanted = 0;                   ///< on that day, base units
  std::vector<BatchShare> shares;      ///< of that day, by batch; space that is cleaned counts
  std::vector<std::uint32_t> batches;  ///< on any of the days, each once
};

struct RoomLoad {
  RoomPlace place;
  std::vector<Stay> stays;              ///< by first day, batch, stage
  calendar::Day first = 0;              ///< the day of taken.front()
  std::vector<double> taken;            ///< by day, base units; space that is cleaned counts
  calendar::Day peak_day = 0;           ///< the first day on which most is taken
  double peak = 0;                      ///< base units
  std::vector<RoomOverload> overloads;  ///< by day

  double taken_on(calendar::Day day) const;
};

struct CrewLoad {
  std::string crew;                     ///< "" for work without a crew
  bool known = false;                   ///< the site says who is there
  std::vector<Labour> labour;           ///< as their orders
  calendar::Day first = 0;              ///< the day of wanted.front()
  std::vector<double> wanted;           ///< by day, person-seconds
  std::vector<double> there;            ///< the same days; empty when not known
  std::vector<CrewOverload> overloads;  ///< by day
};

struct Load {
  std::vector<RoomLoad> rooms;  ///< by name
  std::vector<CrewLoad> crews;  ///< by name

  bool fits() const;  ///< without any overload
};

/// What a plan takes of rooms and crews. Crews that have nothing to do are left out, rooms are not.
Load load_of(const Plan& plan);

/// Single changes that would help where a room is too full. Moves look at this room alone.
std::vector<Repair> repairs_of(const Plan& plan, const RoomLoad& room, const RoomOverload& over);

/// Reports rooms and crews that protocols need and the site does not have, each once with every
/// protocol that needs it, and stages whose space cannot be counted in the unit of their room, once
/// for a room and a protocol. A site that lists no rooms, or no crews, does not keep track of them.
void check_places(const Plan& plan, text::Diagnostics& diagnostics);

/// The protocols that batches of a plan follow.
std::vector<const language::Protocol*> protocols_in_use(const Plan& plan);

/// Reports everything that protocols need and the site does not have or does not tell of: rooms and
/// crews as above, supplies, the flow of mist, temperatures.
void check_provisions(const std::vector<const language::Protocol*>& protocols,
                      const book::Site& site, text::Diagnostics& diagnostics);

/// Adds a conflict for each run of days on which a room is too full.
void check_space(Plan& plan);

}  // namespace budwood::plan
