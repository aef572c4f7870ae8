#include <algorithm>

#include "plan/plan.hpp"
#include "plan/rooms/load.hpp"
#include "plan/rooms/move_batch.hpp"
#include "plan/rooms/room_load.hpp"

namespace budwood::plan {

using calendar::Day;

namespace {

/// Tells where a room is too full, and what would help.
class SpaceCheck {
 public:
  SpaceCheck(const Plan& plan, const RoomLoad& room) : plan_(plan), room_(room) {}

  Conflict conflict_of(const RoomOverload& over) const {
    const Stay& last = last_to_come(over);
    Conflict conflict;
    conflict.batch = id_of(last.batch);
    for (const std::uint32_t other : over.batches) add_other(conflict, id_of(other));
    conflict.code = "room-full";
    conflict.span = plan_.facts_of(plan_.batches[last.batch]).span;
    conflict.message = message_of(over) + "; " + name_of(last) + " is the last to come.";
    add_facts(over, conflict);
    conflict.repairs = repairs(over);
    return conflict;
  }

  std::vector<Repair> repairs(const RoomOverload& over) const {
    const Stay& last = last_to_come(over);
    std::vector<Repair> out;
    const Stays stays = all_of(last);
    if (others_fit(over, stays)) {
      if (const auto by = first_fit(stays, 1)) out.push_back(move_batch(plan_, last.batch, *by));
      if (const auto by = first_fit(stays, -1)) out.push_back(move_batch(plan_, last.batch, *by));
    }
    out.push_back({"Find room for " + amount(over.wanted - *room_.place.holds) + " more: `holds: " +
                   amount(over.wanted) + "` for `" + room_.place.room + "` in site.yaml."});
    return out;
  }

 private:
  static constexpr std::size_t most_told = 6;
  static constexpr Day farthest_move = 60;

  std::string amount(double base) const { return units::format(base, room_.place.unit); }
  const std::string& id_of(std::uint32_t batch) const {
    return plan_.facts_of(plan_.batches[batch]).id.value;
  }
  std::string name_of(const Stay& stay) const {
    const language::Stage& stage = plan_.protocol_of(plan_.batches[stay.batch]).stages[stay.stage];
    return "`" + stage.name + "` of `" + id_of(stay.batch) + "`";
  }
  static bool takes(const Stay& stay, Day day) {
    return stay.amount > 0 && stay.first <= day && day < stay.free;
  }

  /// The one that comes last and finds the room full.
  const Stay& last_to_come(const RoomOverload& over) const {
    const Stay* last = nullptr;
    for (const Stay& stay : room_.stays) {
      if (takes(stay, over.first)) last = &stay;
    }
    return *last;
  }

  std::string message_of(const RoomOverload& over) const {
    const std::string holds =
        "Room `" + room_.place.room + "` holds " + amount(*room_.place.holds) + ", and ";
    if (over.first == over.last) {
      return holds + amount(over.wanted) + " are wanted on " + calendar::short_date(over.first);
    }
    return holds + "up to " + amount(over.wanted) + " are wanted from " +
           calendar::short_date(over.first) + " to " + calendar::short_date(over.last) +
           ", most on " + calendar::short_date(over.worst);
  }

  /// Who has the space on the worst day.
  void add_facts(const RoomOverload& over, Conflict& conflict) const {
    std::size_t more = 0;
    for (const Stay& stay : room_.stays) {
      if (!takes(stay, over.worst)) continue;
      if (conflict.facts.size() == most_told) {
        ++more;
        continue;
      }
      std::string text = name_of(stay) + " takes " + amount(stay.amount) + " from " +
                         calendar::short_date(stay.first) + " to " +
                         calendar::short_date(std::max(stay.first, stay.left - 1));
      if (stay.free > stay.left) {
        text += ", and the space is cleaned until " + calendar::short_date(stay.free - 1);
      }
      conflict.facts.push_back({text + ".", plan_.facts_of(plan_.batches[stay.batch]).id.span});
    }
    if (more > 0) {
      conflict.facts.push_back({"So do " + std::to_string(more) + " more.", {}});
    }
  }

  /// A stage of a batch: one stay, or several where its space changes.
  using Stays = std::vector<const Stay*>;
  Stays all_of(const Stay& stay) const {
    Stays out;
    for (const Stay& one : room_.stays) {
      if (one.batch == stay.batch && one.stage == stay.stage) out.push_back(&one);
    }
    return out;
  }
  static double taken_by(const Stays& stays, Day day) {
    double sum = 0;
    for (const Stay* one : stays) sum += takes(*one, day) ? one->amount : 0;
    return sum;
  }

  /// Whether there is room for it so many days later.
  bool fits_later(const Stays& stays, Day later) const {
    const double holds = *room_.place.holds;
    for (Day day = stays.front()->first + later; day < stays.back()->free + later; ++day) {
      const double others = room_.taken_on(day) - taken_by(stays, day);
      const double wanted = others + taken_by(stays, day - later);
      if (wanted > holds + sheet::slack(wanted, holds)) return false;
    }
    return true;
  }

  /// Whether the others have room enough on the days on which it is too full now.
  bool others_fit(const RoomOverload& over, const Stays& stays) const {
    const double holds = *room_.place.holds;
    for (Day day = over.first; day <= over.last; ++day) {
      const double others = room_.taken_on(day) - taken_by(stays, day);
      if (others > holds + sheet::slack(others, holds)) return false;
    }
    return true;
  }

  /// The shortest move of a stage, in days, to where there is room for it.
  std::optional<Day> first_fit(const Stays& stays, Day direction) const {
    for (Day by = 1; by <= farthest_move; ++by) {
      if (fits_later(stays, direction * by)) return direction * by;
    }
    return std::nullopt;
  }

  const Plan& plan_;
  const RoomLoad& room_;
};

}  // namespace

void check_space(Plan& plan) {
  const auto& rooms = plan.book->site.rooms;
  const bool any = std::any_of(rooms.begin(), rooms.end(),
                               [](const auto& room) { return room.second.holds.has_value(); });
  if (!any) return;
  for (const RoomLoad& room : room_loads(plan)) {
    const SpaceCheck check(plan, room);
    for (const RoomOverload& over : room.overloads) {
      // What was too full once cannot be helped any more.
      if (plan.book->today && over.last < *plan.book->today) continue;
      plan.conflicts.push_back(check.conflict_of(over));
    }
  }
}

std::vector<Repair> repairs_of(const Plan& plan, const RoomLoad& room, const RoomOverload& over) {
  return SpaceCheck(plan, room).repairs(over);
}

}  // namespace budwood::plan
