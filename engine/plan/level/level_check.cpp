#include "plan/level/level_check.hpp"

#include <algorithm>
#include <cmath>

#include "units/rounding.hpp"

namespace budwood::plan {

using Kind = LevelProblem::Named::Kind;

namespace {

/// Days on which what is wanted is known, by resource.
using DaysOf = std::map<levelling::ResourceId, std::map<calendar::Day, levelling::Amount>>;

DaysOf taken_of(const levelling::Problem& problem, const levelling::Season& season) {
  DaysOf out;
  for (std::size_t u = 0; u < problem.uses.size(); ++u) {
    const levelling::Use& use = problem.uses[u];
    const calendar::Day slip = season.schedule.slips[u];
    if (slip == levelling::left_out || !season.dated[problem.points[use.from.point].group]) {
      continue;
    }
    const calendar::Day end = season.schedule.days[use.to.point] + use.to.offset + slip;
    calendar::Day day = season.schedule.days[use.from.point] + use.from.offset + slip;
    for (auto& days = out[use.resource]; day < end; ++day) days[day] += use.amount;
  }
  return out;
}

}  // namespace

LevelCheck::LevelCheck(const LevelProblem& levelled, const levelling::Season& season,
                       const Plan& today, const Plan& anew)
    : levelled_(levelled), season_(season), today_(today), anew_(anew) {
  const Load load = load_of(anew);
  if (!load.fits()) {
    taken_ = taken_of(levelled.problem(), season);
    check_rooms(load);
    check_crews(load);
  }
  check_conflicts();
}

/// How much is wanted that levelling did not know of, so that there was too little.
LevelCheck::Amount LevelCheck::unknown(levelling::ResourceId resource, Day day, Amount there,
                                       Amount wanted) const {
  const auto days = taken_.find(resource);
  Amount taken = 0;
  if (days != taken_.end()) {
    const auto found = days->second.find(day);
    if (found != days->second.end()) taken = found->second;
  }
  // What was set aside before is known.
  const Amount known = taken + there - levelled_.problem().resources[resource].capacity(day);
  // A sum of rounded amounts is no less than what is rounded.
  return wanted > there + 1 && wanted > known ? wanted - known : 0;
}

std::optional<levelling::ResourceId> LevelCheck::resource_of(Kind kind,
                                                             const std::string& name) const {
  for (levelling::ResourceId r = 0; r < levelled_.problem().resources.size(); ++r) {
    if (levelled_.name_of(r).kind == kind && levelled_.name_of(r).name == name) return r;
  }
  return std::nullopt;
}

bool LevelCheck::can_move(std::uint32_t batch) const {
  if (!levelled_.is_grouped(batch)) return false;
  const LevelProblem::Group& group = levelled_.groups()[levelled_.group_of(batch)];
  for (levelling::PointId p = group.first; p <= group.ready; ++p) {
    const levelling::Point& point = levelled_.problem().points[p];
    if (point.earliest < point.latest) return true;
  }
  return false;
}

void LevelCheck::check_rooms(const Load& load) {
  for (const RoomLoad& room : load.rooms) {
    const auto resource = resource_of(Kind::room, room.place.room);
    if (!resource) continue;
    const auto there = static_cast<Amount>(units::round_down(*room.place.holds * room_step));
    for (const RoomOverload& over : room.overloads) {
      bool found = false;
      for (Day day = over.first; day <= over.last; ++day) {
        const Amount amount =
            unknown(*resource, day, there, steps_of(room.taken_on(day), room_step));
        if (amount <= 0) continue;
        learned_.less[*resource][day] += amount;
        found = true;
      }
      if (!found) continue;
      add({over.batches,
           "`" + room.place.room + "` is too full on " + calendar::short_date(over.worst) + ": " +
               units::format(over.wanted, room.place.unit) + " are wanted, and it holds " +
               units::format(*room.place.holds, room.place.unit),
           {}});
    }
  }
}

void LevelCheck::check_crews(const Load& load) {
  const calendar::WorkingDays& working = anew_.book->site.working;
  for (const CrewLoad& crew : load.crews) {
    for (const CrewOverload& over : crew.overloads) {
      const bool duty = !working.works(over.day);
      const auto resource = resource_of(duty ? Kind::duty : Kind::crew, crew.crew);
      if (!resource) continue;
      if (!duty || !levelled_.duty_is_open()) {
        const auto there = static_cast<Amount>(units::round_down(over.there * crew_step));
        const Amount amount =
            unknown(*resource, over.day, there, steps_of(over.seconds, crew_step));
        if (amount <= 0) continue;
        learned_.less[*resource][over.day] += amount;
      }
      add({over.batches, "", {}, crew.crew, over.day, over.seconds - over.there});
    }
  }
}

void LevelCheck::add(Fault fault) {
  const auto& batches = fault.batches;
  if (std::none_of(batches.begin(), batches.end(), [&](auto b) { return can_move(b); })) return;
  faults_.push_back(std::move(fault));
}

std::vector<std::uint32_t> LevelCheck::batches_of(const Conflict& conflict) const {
  std::vector<std::uint32_t> out;
  for (std::uint32_t b = 0; b < anew_.batches.size(); ++b) {
    if (anew_.facts_of(anew_.batches[b]).id.value == conflict.batch)
      out.insert(out.begin(), b);
    else if (concerns(conflict, anew_.facts_of(anew_.batches[b]).id.value))
      out.push_back(b);
  }
  return out;
}

/// Of a batch by itself, as it was planned before.
bool LevelCheck::was_there(const Conflict& conflict) const {
  return conflict.others.empty() &&
         std::any_of(today_.conflicts.begin(), today_.conflicts.end(), [&](const auto& one) {
           return one.code == conflict.code && one.batch == conflict.batch && one.others.empty();
         });
}

void LevelCheck::check_conflicts() {
  for (const Conflict& conflict : anew_.conflicts) {
    const bool shared = conflict.code == "room-climate" || conflict.code == "no-entry";
    if (!shared && conflict.code != "nobody-there") continue;
    if (was_there(conflict)) continue;
    const std::vector<std::uint32_t> batches = batches_of(conflict);
    if (batches.empty() || !std::all_of(batches.begin(), batches.end(),
                                        [&](std::uint32_t b) { return levelled_.is_grouped(b); })) {
      continue;
    }
    learn(conflict, batches);
    std::string message = conflict.message;
    if (message.ends_with(".")) message.pop_back();
    std::vector<std::string> helps;
    for (const Repair& one : conflict.repairs) helps.push_back(one.text);
    add({batches, std::move(message), std::move(helps)});
  }
}

void LevelCheck::learn(const Conflict& conflict, const std::vector<std::uint32_t>& batches) {
  const std::uint32_t first = batches.front();
  if (conflict.code == "nobody-there") {
    const Day start = anew_.row_of(anew_.batches[first]).start(conflict.stage);
    learned_.not_on.insert({first, conflict.stage, start});
  } else if (conflict.code == "no-entry") {
    learned_.treated.insert({batches.back(), first});
  } else {
    for (std::size_t i = 1; i < batches.size(); ++i) keep_climates(first, batches[i]);
  }
}

/// In every room in which both stand: all climates of a room that has no zones, else the two.
void LevelCheck::keep_climates(std::uint32_t one, std::uint32_t other) {
  for (const language::Stage& mine : anew_.protocol_of(anew_.batches[one]).stages) {
    for (const language::Stage& theirs : anew_.protocol_of(anew_.batches[other]).stages) {
      if (mine.room.empty() || mine.room != theirs.room) continue;
      const book::Room* room = anew_.book->site.find_room(mine.room);
      if (room == nullptr || room->zones <= 1) {
        learned_.climates.insert(mine.room);
      } else {
        learned_.apart.insert(std::minmax(one, other));
      }
    }
  }
}

}  // namespace budwood::plan
