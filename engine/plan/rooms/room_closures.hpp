/// Rooms close after the plan is made: work moves within its own limits, or it is a conflict.
/// The dates of stages do not move for it; that is for levelling.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "language/id.hpp"

namespace budwood::plan {

struct Plan;

inline constexpr std::int64_t minutes_a_day = 24 * 60;

/// A time in which nobody enters a room, after a treatment that is the last work there on its day.
struct RoomClosure {
  std::uint32_t batch = 0;  ///< the treatment: in Plan::batches
  language::StageId stage;
  language::WorkId work;
  calendar::Day day = 0;   ///< on which it is done
  std::int64_t opens = 0;  ///< minutes after the beginning of day 0
};

using ClosureId = language::Id<RoomClosure>;

/// The closures of all rooms. One that is over before an earlier one of its room is left out, so
/// that in each room the later closure ends later.
class RoomClosures {
 public:
  /// Days may not go backwards within a room.
  void add(const std::string& room, const RoomClosure& closure);

  bool empty() const { return all_.empty(); }
  std::size_t size() const { return all_.size(); }
  const RoomClosure& operator[](ClosureId id) const { return all_[id]; }
  /// Of the closures of a room that begin on `day` or before, the one that ends last.
  ClosureId latest(const std::string& room, calendar::Day day) const;

 private:
  language::List<RoomClosure> all_;
  std::map<std::string, std::vector<ClosureId>> by_room_;
};

/// Minutes after midnight between which people work; 08:00 to 16:00 where a site does not say.
struct Shift {
  int from = 8 * 60;
  int to = 16 * 60;
};
Shift shift_of(const Plan& plan);

/// Whether the room is still closed when people come in on that day.
bool closed_on(const RoomClosure& closure, calendar::Day day, const Shift& shift);

/// The first day on which people come in again.
calendar::Day open_from(const RoomClosure& closure, const Shift& shift);
struct WorkOrder;
/// The closure that an order leaves behind; nothing when it is no treatment.
std::optional<RoomClosure> closure_after(const Plan& plan, const WorkOrder& order);

/// "Wed 2027-05-05 08:00".
std::string opening_text(const RoomClosure& closure);
/// "\"Spray\" of batch A".
std::string treatment_text(const Plan& plan, const RoomClosure& closure);

/// Finds the closures of a plan and moves orders that fall on a closed day to the first later day
/// that their `within`, their stage and the working days allow; where there is none, the order
/// stays and is a conflict. Takes orders as they are expanded: by batch, stage, work, occurrence,
/// part.
void close_rooms(Plan& plan);

}  // namespace budwood::plan
