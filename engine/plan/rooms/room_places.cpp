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
  bool areas = true;  ///< all of them can be told in m2

  void add(const language::Protocol& protocol, const language::Stage& stage) {
    mixed = mixed || stage.space.empty();
    areas = areas && !stage.space.empty();
    for (const language::Space& space : stage.space) {
      const units::Unit one = space_unit(space);
      if (unit && !same_measure(*unit, one)) mixed = true;
      if (!unit) unit = one;
      if (one.dimension != units::area && !language::area_factor(protocol, space)) areas = false;
    }
  }
  units::Unit chosen() const {
    if (unit && !mixed) return *unit;
    return unit && areas ? *units::find_unit("m2") : units::counting_unit("plants");
  }
};

std::vector<RoomPlace> rooms_of(const Plan& plan) {
  std::map<std::string, CommonUnit> rooms;
  for (const auto& [name, facts] : plan.book->site.rooms) rooms[name];
  for (const sheet::Sheet& sheet : plan.sheets) {
    if (sheet.layout().protocol.of_site) continue;
    for (const language::Stage& stage : sheet.layout().protocol.stages) {
      if (!stage.room.empty()) rooms[stage.room].add(sheet.layout().protocol, stage);
    }
  }
  std::vector<RoomPlace> out;
  for (const auto& [name, common] : rooms) {
    RoomPlace place;
    place.room = name;
    place.unit = common.chosen();
    const auto facts = plan.book->site.rooms.find(name);
    place.known = facts != plan.book->site.rooms.end();
    if (place.known) {
      place.turnover = facts->second.turnover;
      if (const auto& holds = facts->second.holds) {
        place.unit = holds->quantity.unit;
        place.holds = holds->quantity.base();
      }
      place.unlimited = facts->second.unlimited;
      if (const auto& vessels = facts->second.vessels) {
        place.vessel = vessels->noun;
        place.vessel_holds = *place.holds / vessels->count;
      }
    }
    out.push_back(std::move(place));
  }
  return out;
}

/// What one unit of a space takes of a room, if that can be said in the unit of the room.
std::optional<double> factor_of(const RoomPlace& place, const sheet::Template& t,
                                const language::Space& space, sheet::CellId cell) {
  const units::Unit unit = space_unit(space);
  // "space ceil(plants / 60) m2": the formula gives a plain number of them.
  const bool plain = t.cell(cell).type.dimension != unit.dimension;
  if (same_measure(unit, place.unit)) return plain ? unit.factor : 1;
  if (!place.vessel.empty() && unit.noun == place.vessel) return place.vessel_holds;
  if (place.unit.dimension != units::area) return std::nullopt;
  return language::area_factor(t.protocol, space);
}

/// Which cell says what a stage takes of a room from one of its days on.
void set_amount(const RoomPlace& place, const language::Space* space, const sheet::Template& t,
                std::size_t level, Standing& out) {
  const sheet::StageCells& cells = t.stages[out.stage];
  if (space != nullptr) {
    const auto factor = factor_of(place, t, *space, cells.space[level]);
    if (factor) {
      out.amount = cells.space[level];
      out.factor = *factor;
      return;
    }
  }
  const bool plants = same_measure(place.unit, units::counting_unit("plants"));
  if (plants && (space == nullptr || !place.holds)) out.amount = cells.plants;
}

/// By day; one for a stage that does not say its space.
void add_levels(const RoomPlace& place, const sheet::Template& t, const Standing& stage,
                std::vector<Standing>& out) {
  const std::vector<language::Space>& space = t.protocol.stages[stage.stage].space;
  for (std::size_t i = 0; i < std::max<std::size_t>(1, space.size()); ++i) {
    Standing& level = out.emplace_back(stage);
    if (!space.empty()) level.from = space[i].from - 1;
    if (i + 1 < space.size()) level.to = space[i + 1].from - 1;
    set_amount(place, space.empty() ? nullptr : &space[i], t, i, level);
  }
}

std::vector<Standing> standings_in(const sheet::Template& t, const std::vector<RoomPlace>& rooms) {
  const auto& stages = t.protocol.stages;
  std::vector<Standing> out;
  if (t.protocol.of_site) return out;  // cards take no space
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
    add_levels(*room, t, standing, out);
  }
  return out;
}

}  // namespace

units::Unit space_unit(const language::Space& space) {
  if (auto unit = units::find_unit(space.noun)) return *unit;
  return units::counting_unit(space.noun);
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
    const Day start = stay.first;
    stay.first = start + standing.from;
    // Plants that have gone on, or wait to, are not spaced any more.
    const Day end = row.end(standing.stage);
    if (standing.from > 0 && stay.first >= end) continue;
    const bool spaced = standing.to && start + *standing.to < end;
    if (spaced) stay.left = start + *standing.to;
    stay.free = stay.left + (spaced ? 0 : standing.turnover);
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
