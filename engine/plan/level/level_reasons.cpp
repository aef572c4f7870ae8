#include "plan/level/level_reasons.hpp"

#include <map>

#include "plan/rooms/load.hpp"

namespace budwood::plan {

LevelReasons::LevelReasons(const Plan& today) : by_batch_(today.batches.size()) {
  const Load load = load_of(today);
  const auto note = [&](std::uint32_t batch, const std::string& reason) {
    if (by_batch_[batch].empty()) by_batch_[batch] = reason;
  };
  for (const RoomLoad& room : load.rooms) {
    for (const RoomOverload& over : room.overloads) {
      std::string reason =
          "`" + room.place.room + "` is too full on " + calendar::short_date(over.first);
      if (over.last > over.first) {
        reason = "`" + room.place.room + "` is too full " + calendar::iso_date(over.first) +
                 " to " + calendar::iso_date(over.last);
      }
      for (const std::uint32_t batch : over.batches) note(batch, reason);
    }
  }
  for (const CrewLoad& crew : load.crews) {
    for (const CrewOverload& over : crew.overloads) {
      const std::string reason =
          "crew `" + crew.crew + "` has too much to do on " + calendar::short_date(over.day);
      for (const std::uint32_t batch : over.batches) note(batch, reason);
    }
  }
  std::map<std::string, std::string> by_id;
  for (const Conflict& conflict : today.conflicts) {
    std::string reason;
    if (conflict.code == "room-climate") reason = "its room is wanted in another climate";
    if (conflict.code == "no-entry") reason = "its room is closed when there is work in it";
    if (reason.empty()) continue;
    by_id.try_emplace(conflict.batch, reason);
    for (const std::string& other : conflict.others) by_id.try_emplace(other, reason);
  }
  for (std::uint32_t b = 0; b < today.batches.size() && !by_id.empty(); ++b) {
    const auto found = by_id.find(today.facts_of(today.batches[b]).id.value);
    if (found != by_id.end()) note(b, found->second);
  }
}

std::string LevelReasons::because(std::uint32_t batch) const {
  return by_batch_[batch].empty() ? "it makes room for others" : by_batch_[batch];
}

}  // namespace budwood::plan
