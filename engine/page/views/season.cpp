#include <algorithm>
#include <cmath>
#include <map>

#include "page/views/views.hpp"
#include "plan/rooms/load.hpp"
#include "report/formats/wording.hpp"
#include "report/load/load_view.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::page {

namespace {

constexpr std::size_t most_conflicts = 200;

Json numbers(const std::vector<double>& values, double factor) {
  constexpr double fine = 100;
  Json out = Json::array();
  for (const double value : values) {
    out.push_back(std::isfinite(value) ? std::round(value * factor * fine) / fine : 0);
  }
  return out;
}

Json room_json(const plan::Plan& plan, const plan::RoomLoad& room) {
  const units::Unit& unit = room.place.unit;
  Json overloads = Json::array();
  for (const plan::RoomOverload& over : room.overloads) {
    overloads.push_back({{"first", over.first},
                         {"last", over.last},
                         {"wanted", report::amount_text(room.place, over.wanted)},
                         {"shares", report::shares_text(plan, room.place, over.shares, 6)}});
  }
  return {{"name", room.place.room},
          {"holds", room.place.holds ? Json(unit.from_base(*room.place.holds)) : Json(nullptr)},
          {"holds_text", report::holds_text(room.place)},
          {"unit", unit.symbol},
          {"first", room.first},
          {"taken", numbers(room.taken, unit.from_base(1) - unit.from_base(0))},
          {"overloads", std::move(overloads)}};
}

Json crew_json(const plan::CrewLoad& crew) {
  Json over = Json::array();
  for (const plan::CrewOverload& one : crew.overloads) over.push_back(one.day);
  return {{"name", report::shown_crew(crew.crew)},
          {"known", crew.known},
          {"first", crew.first},
          {"wanted", numbers(crew.wanted, 1 / units::seconds_an_hour)},
          {"there", numbers(crew.there, 1 / units::seconds_an_hour)},
          {"overloads", std::move(over)}};
}

/// The parts that are joined to others stand beside each other until then; -1 for what stands
/// alone.
int lane_of(const language::Protocol& protocol, const language::Stage& stage) {
  std::vector<language::PartId> joined;
  for (const language::Stage& one : protocol.stages) {
    joined.insert(joined.end(), one.joined.begin(), one.joined.end());
  }
  const auto found = std::find(joined.begin(), joined.end(), stage.part);
  return joined.size() < 2 || found == joined.end() || !stage.joined.empty()
             ? -1
             : static_cast<int>(found - joined.begin()) % 2;
}

}  // namespace

Json season_view(const Snapshot& now) {
  const plan::Plan& plan = now.plan;
  std::map<std::string, std::size_t> rooms;
  Json room_names = Json::array();
  Json protocols = Json::array();
  std::map<const language::Protocol*, std::size_t> known;
  Json batches = Json::array();
  const auto room_number = [&](const std::string& room) {
    const auto [place, fresh] = rooms.emplace(room, rooms.size());
    if (fresh) room_names.push_back(room);
    return place->second;
  };
  for (const plan::BatchPlan& batch : plan.batches) {
    const language::Protocol& protocol = plan.protocol_of(batch);
    const auto [place, fresh] = known.emplace(&protocol, known.size());
    if (fresh) {
      Json stages = Json::array();
      for (const language::Stage& stage : protocol.stages) {
        stages.push_back({{"name", stage.name},
                          {"title", report::shown_name(stage)},
                          {"room", room_number(stage.room)},
                          {"lane", lane_of(protocol, stage)}});
      }
      protocols.push_back({{"name", protocol.name},
                           {"title", report::shown_name(protocol)},
                           {"stages", std::move(stages)}});
    }
    const book::Batch& facts = plan.facts_of(batch);
    Json bars = Json::array();
    if (batch.dated) {
      const sheet::Row row = plan.row_of(batch);
      for (const language::StageId stage : protocol.stages.ids()) {
        bars.push_back({row.start(stage), row.end(stage)});
      }
    }
    batches.push_back({{"id", facts.id.value},
                       {"label", batch_label(facts)},
                       {"protocol", place->second},
                       {"plants", facts.plants.value},
                       {"key", date_key(facts)},
                       {"over", batch.over.has_value()},
                       {"ready", batch.dated || !batch.raised ? Json(*plan::ready_on(plan, batch))
                                                              : Json(nullptr)},
                       {"bars", std::move(bars)}});
  }
  const plan::Load load = plan::load_of(plan);
  Json room_loads = Json::array();
  for (const plan::RoomLoad& room : load.rooms) {
    if (!room.taken.empty()) room_loads.push_back(room_json(plan, room));
  }
  Json crew_loads = Json::array();
  for (const plan::CrewLoad& crew : load.crews) crew_loads.push_back(crew_json(crew));
  return {{"turn", now.turn},
          {"today", plan.book->today ? Json(*plan.book->today) : Json(nullptr)},
          {"protocols", std::move(protocols)},
          {"room_names", std::move(room_names)},
          {"batches", std::move(batches)},
          {"rooms", std::move(room_loads)},
          {"crews", std::move(crew_loads)},
          {"conflict_count", plan.conflicts.size()},
          {"conflicts", conflicts_json(now, "", most_conflicts)}};
}

}  // namespace budwood::page
