#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"
#include "report/formats/writers.hpp"
#include "report/load/load_writers.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using calendar::Day;
using Layout = JsonWriter::Layout;

void write_stays(JsonWriter& json, const plan::Plan& plan, const ShownRoom& room) {
  const units::Unit& unit = room.load->place.unit;
  json.begin_list("stays", Layout::lines);
  for (const plan::Stay& stay : room.load->stays) {
    if (!room.days.meets(stay.first, std::max(stay.first, stay.free - 1))) continue;
    json.begin_object();
    json.text("batch", batch_id(plan, stay.batch));
    json.text("stage", plan.protocol_of(plan.batches[stay.batch]).stages[stay.stage].name);
    json.date("from", stay.first);
    json.date("left", stay.left);
    json.date("free", stay.free);
    json.number("amount", stay.counted ? std::optional(unit.from_base(stay.amount)) : std::nullopt);
    json.end();
  }
  json.end();
}

void write_overload(JsonWriter& json, const plan::Plan& plan, const plan::RoomLoad& room,
                    const plan::RoomOverload& over) {
  const units::Unit& unit = room.place.unit;
  json.begin_object();
  json.date("from", over.first);
  json.date("to", over.last);
  json.date("worst", over.worst);
  json.number("wanted", unit.from_base(over.wanted));
  std::vector<std::string> ids;
  for (const std::uint32_t batch : over.batches) ids.push_back(batch_id(plan, batch));
  json.texts("batches", ids);
  json.begin_list("shares");
  for (const plan::BatchShare& share : over.shares) {
    json.begin_object();
    json.text("batch", batch_id(plan, share.batch));
    json.number("amount", unit.from_base(share.amount));
    json.end();
  }
  json.end();
  write_repairs_json(json, plan::repairs_of(plan, room, over));
  json.end();
}

void write_room(JsonWriter& json, const plan::Plan& plan, const ShownRoom& room) {
  const plan::RoomPlace& place = room.load->place;
  json.begin_object(Layout::lines);
  json.text("room", place.room);
  json.flag("known", place.known);
  json.text("unit", place.unit.symbol);
  json.number("holds",
              place.holds ? std::optional(place.unit.from_base(*place.holds)) : std::nullopt);
  json.flag("no_limit", place.unlimited);
  json.number("turnover_days", place.turnover);
  write_stays(json, plan, room);
  json.begin_list("days", Layout::lines);
  for (Day day = room.days.first; day <= room.days.last; ++day) {
    json.begin_object();
    json.date("date", day);
    json.number("taken", place.unit.from_base(room.load->taken_on(day)));
    json.end();
  }
  json.end();
  json.begin_list("overloads", Layout::lines);
  for (const plan::RoomOverload* over : room.overloads) {
    write_overload(json, plan, *room.load, *over);
  }
  json.end();
  json.end();
}

/// A day on which a crew is short of time, with the orders that want it.
void write_overload(JsonWriter& json, const plan::Plan& plan, const plan::CrewLoad& crew,
                    const plan::CrewOverload& over) {
  json.begin_object();
  json.date("date", over.day);
  json.number("wanted", over.seconds / units::seconds_an_hour);
  json.number("there", over.there / units::seconds_an_hour);
  json.begin_list("orders");
  for (const plan::Labour& labour : crew.labour) {
    const plan::WorkOrder& order = plan.orders[labour.order];
    if (labour.day != over.day) continue;
    json.begin_object();
    json.text("id",
              labour.making < 0
                  ? plan::order_id(plan, order)
                  : plan::making_id(plan, plan.makings[static_cast<std::size_t>(labour.making)]));
    json.text("batch", batch_id(plan, order.batch));
    json.number("person_hours", labour.seconds / units::seconds_an_hour);
    json.end();
  }
  json.end();
  json.end();
}

void write_crew(JsonWriter& json, const plan::Plan& plan, const ShownCrew& crew) {
  json.begin_object(Layout::lines);
  json.text("crew", crew.load->crew);
  json.flag("known", crew.load->known);
  json.begin_list("days", Layout::lines);
  for (Day day = crew.days.first; day <= crew.days.last; ++day) {
    const double wanted = crew.wanted(day);
    const std::optional<double> there = crew.there(day);
    if (wanted <= 0 && there.value_or(0) <= 0) continue;
    json.begin_object();
    json.date("date", day);
    json.number("wanted", wanted / units::seconds_an_hour);
    json.number("there", there ? std::optional(*there / units::seconds_an_hour) : std::nullopt);
    json.end();
  }
  json.end();
  json.begin_list("overloads", Layout::lines);
  for (const plan::CrewOverload* over : crew.overloads) {
    write_overload(json, plan, *crew.load, *over);
  }
  json.end();
  json.end();
}

/// Rooms without a limit, then stages that are not counted.
void write_left_out(JsonWriter& json, const plan::Plan& plan, const ShownLoad& shown) {
  std::vector<std::string> rooms;
  for (const ShownRoom* room : shown.unjudged()) rooms.push_back(room->load->place.room);
  json.texts("not_judged", rooms);
  json.begin_list("not_counted", Layout::lines);
  for (const LeftOut& one : shown.left_out) {
    json.begin_object();
    json.text("room", one.room->place.room);
    json.text("batch", batch_id(plan, one.batch));
    json.text("stage", plan.protocol_of(plan.batches[one.batch]).stages[one.stage].name);
    json.number("plants", one.plants);
    json.date("from", one.days.first);
    json.date("to", one.days.last);
    json.end();
  }
  json.end();
}

}  // namespace

void write_load_json(std::ostream& out, const plan::Plan& plan, const ShownLoad& shown) {
  JsonWriter json(out);
  json.begin_object(Layout::lines);
  json.text("site", plan.book->site.name.value);
  json.flag("fits", shown.fits());
  json.flag("complete", shown.complete());
  write_left_out(json, plan, shown);
  json.begin_list("rooms", Layout::lines);
  for (const ShownRoom& room : shown.rooms) write_room(json, plan, room);
  json.end();
  json.begin_list("crews", Layout::lines);
  for (const ShownCrew& crew : shown.crews) write_crew(json, plan, crew);
  json.end();
  json.end();
}

}  // namespace budwood::report
