#include "plan/rooms/room_places.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "plan/plan.hpp"

namespace budwood::plan {

using calendar::Day;
using language::StageId;

namespace {

/// In which unit the stages of a room without `holds` say their space.
struct CommonUnit {
  std::optional<units::Unit> unit;
  bool mixed = false;

  void add(const std::optional<units::Unit>& one) {
    if (!one || (unit && !same_measure(*unit, *one))) mixed = true;
    if (one && !unit) unit = one;
  }
};

std::vector<RoomPlace> rooms_of(const Plan& plan) {
  std::map<std::string, CommonUnit> rooms;
  for (const auto& [name, facts] : plan.book->site.rooms) rooms[name];
  for (const sheet::Sheet& sheet : plan.sheets) {
    for (const language::Stage& stage : sheet.layout().protocol.stages) {
      if (!stage.room.empty()) rooms[stage.room].add(space_unit(stage));
    }
  }
  std::vector<RoomPlace> out;
  for (const auto& [name, common] : rooms) {
    RoomPlace place;
    place.room = name;
    place.unit = common.unit && !common.mixed ? *common.unit : units::counting_unit("plants");
    const auto facts = plan.book->site.rooms.find(name);
    place.known = facts != plan.book->site.rooms.end();
    if (place.known) {
      place.turnover = facts->second.turnover;
      if (const auto& holds = facts->second.holds) {
        place.unit = holds->quantity.unit;
        place.holds = holds->quantity.base();
      }
    }
    out.push_back(std::move(place));
  }
  return out;
}

/// Which cell says what a stage takes of a room, if it can be said in the unit of the room.
void set_amount(const RoomPlace& place, const language::Stage& stage, const sheet::Template& t,
                Standing& out) {
  const sheet::StageCells& cells = t.stages[out.stage];
  const bool plants = same_measure(place.unit, units::counting_unit("plants"));
  const std::optional<units::Unit> unit = space_unit(stage);
  if (unit && same_measure(*unit, place.unit)) {
    out.amount = cells.space;
    // "space ceil(plants / 60) m2": the formula gives a plain number of them.
    const bool plain = t.cell(cells.space).type.dimension != unit->dimension;
    out.factor = plain ? unit->factor : 1;
  } else if (plants && (!unit || !place.holds)) {
    out.amount = cells.plants;
  }
}

std::vector<Standing> standings_in(const sheet::Template& t, const std::vector<RoomPlace>& rooms) {
  const auto& stages = t.protocol.stages;
  std::vector<Standing> out;
  for (const StageId s : stages.ids()) {
    if (stages[s].room.empty()) continue;
    const auto room = std::lower_bound(
        rooms.begin(), rooms.end(), stages[s].room,
        [](const RoomPlace& place, const std::string& name) { return place.room < name; });
    Standing standing;
    standing.stage = s;
    standing.room = static_cast<std::uint32_t>(room - rooms.begin());
    for (const StageId next : stages.ids()) {
      if (!language::takes_from(stages[next], s)) continue;
      standing.until.push_back(next);
      if (stages[next].room == stages[s].room) standing.goes_on = true;
    }
    standing.turnover = standing.goes_on ? 0 : room->turnover;
    set_amount(*room, stages[s], t, standing);
    out.push_back(std::move(standing));
  }
  return out;
}

}  // namespace

std::optional<units::Unit> space_unit(const language::Stage& stage) {
  if (stage.space == language::no_formula) return std::nullopt;
  if (auto unit = units::find_unit(stage.space_noun)) return unit;
  return units::counting_unit(stage.space_noun);
}

bool same_measure(const units::Unit& a, const units::Unit& b) {
  return a.dimension == b.dimension && a.noun == b.noun;
}

RoomPlaces::RoomPlaces(const Plan& plan) : plan_(&plan), rooms_(rooms_of(plan)) {
  for (const sheet::Sheet& sheet : plan.sheets) {
    standings_.push_back(standings_in(sheet.layout(), rooms_));
  }
}

std::optional<double> RoomPlaces::amount(const Standing& standing, std::uint32_t batch) const {
  if (standing.amount == sheet::no_cell) return std::nullopt;
  const double amount =
      standing.factor * plan_->row_of(plan_->batches[batch]).value(standing.amount);
  if (!(amount >= 0 && amount <= sheet::DailyTotals::most)) return std::nullopt;
  return amount;
}

std::vector<Stay> RoomPlaces::stays_of(std::uint32_t batch) const {
  const BatchPlan& planned = plan_->batches[batch];
  std::vector<Stay> out;
  if (!planned.dated) return out;
  const sheet::Row row = plan_->row_of(planned);
  for (const Standing& standing : standings_[planned.sheet]) {
    Stay stay;
    stay.batch = batch;
    stay.stage = standing.stage;
    stay.room = standing.room;
    stay.first = row.start(standing.stage);
    stay.left = standing.until.empty() ? *row.ready() : stay.first;
    for (const StageId next : standing.until) stay.left = std::max(stay.left, row.start(next));
    stay.left = std::max(stay.left, stay.first + (standing.goes_on ? 0 : 1));
    stay.free = stay.left + standing.turnover;
    const std::optional<double> takes = amount(standing, batch);
    stay.amount = takes.value_or(0);
    stay.counted = takes.has_value();
    out.push_back(stay);
  }
  return out;
}

std::vector<Stay> stays_of(const Plan& plan, std::uint32_t batch) {
  return RoomPlaces(plan).stays_of(batch);
}

}  // namespace budwood::plan
