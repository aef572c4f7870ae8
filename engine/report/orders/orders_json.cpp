#include <array>
#include <ostream>

#include "plan/orders/portions.hpp"
#include "report/demand/demand_report.hpp"
#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"
#include "report/formats/writers.hpp"
#include "sheet/counts/prospects.hpp"

namespace budwood::report {

namespace {

using Layout = JsonWriter::Layout;

/// The members that a setting has wherever it stands.
void write_setting(JsonWriter& json, const plan::DaySetting& setting) {
  static constexpr std::array<const char*, 3> halves = {"both", "day", "night"};
  json.text("setting", setting.name);
  json.text("half", halves[static_cast<std::size_t>(setting.half)]);
  json.text("value", setting.value());
}

void write_settings(JsonWriter& json, const std::vector<plan::DaySetting>& settings) {
  json.begin_list("settings");
  for (const plan::DaySetting& setting : settings) {
    json.begin_object();
    write_setting(json, setting);
    json.end();
  }
  json.end();
}

void write_supply(JsonWriter& json, const plan::SupplyAmount& use) {
  json.begin_object();
  json.text("supply", use.supply);
  json.text("title", use.title);
  json.number("amount", use.unit.from_base(use.amount));
  json.text("unit", use.unit.symbol);
  json.flag("reused", use.reused);
  json.text("lot", use.lot);
  json.end();
}

/// How many are at it together, where it is said.
void write_people(JsonWriter& json, double people) {
  json.number("people", people > 0 ? std::optional(people) : std::nullopt);
}

void write_order(JsonWriter& json, const plan::OrderDetail& order) {
  json.begin_object();
  json.text("id", order.id);
  json.text("stage", order.stage);
  json.date("date", order.date);
  json.text("weekday", calendar::long_name(calendar::weekday(order.date)));
  json.text("week", calendar::iso_week_text(order.date));
  json.date("due", order.due);
  json.text("state", plan::word(order.state));
  json.text("title", order.title);
  json.text("time_of_day", order.hours);
  json.number("plants", order.plants);
  json.number("person_hours", order.person_seconds / units::seconds_an_hour);
  write_people(json, order.people);
  json.text("crew", order.crew);
  json.text("room", order.room);
  json.begin_list("supplies");
  for (const plan::SupplyAmount& use : order.supplies) write_supply(json, use);
  json.end();
  json.texts("tools", order.tools);
  write_settings(json, order.settings);
  json.texts("cautions", order.cautions);
  json.texts("record", order.records);
  json.texts("notes", order.notes);
  json.place("line", order.line);
  json.end();
}

void write_lamps(JsonWriter& json, const std::optional<plan::LampTotal>& lamps) {
  if (!lamps) return json.null("lamps");
  json.begin_object("lamps");
  const double hour = units::seconds_an_hour;
  json.number("daylight", lamps->first.daylight);
  json.number("hours", lamps->first.seconds / hour);
  json.number("last_daylight", lamps->last.daylight);
  json.number("last_hours", lamps->last.seconds / hour);
  if (lamps->first.dark > 0 || lamps->last.dark > 0) {
    json.number("dark_hours", lamps->first.dark / hour);
    json.number("last_dark_hours", lamps->last.dark / hour);
  }
  json.number("too_bright", lamps->last.too_much());
  json.end();
}

void write_water(JsonWriter& json, const std::optional<plan::WaterTotal>& water) {
  if (!water) return json.null("water");
  const units::Unit& unit = *units::find_unit("L/m2");
  json.begin_object("water");
  json.number("times", water->first.times);
  json.number("litres_a_m2", unit.from_base(water->first.amount));
  json.number("last_times", water->last.times);
  json.number("last_litres_a_m2", unit.from_base(water->last.amount));
  json.end();
}

void write_order(JsonWriter& json, const plan::SettingDetail& order) {
  json.begin_object();
  json.text("id", order.id);
  json.date("date", order.date);
  json.date("since", order.since);
  json.flag("by_timer", order.by_timer);
  json.text("room", order.room);
  json.text("zone", order.zone);
  json.flag("cover", order.cover);
  json.texts("for", order.whom);
  write_settings(json, order.changes);
  if (order.mist) {
    json.begin_object("mist");
    json.number("pulses", static_cast<double>(order.mist->pulses));
    json.number("seconds", order.mist->seconds);
    if (order.mist->volume) {
      json.number("litres", units::find_unit("L")->from_base(*order.mist->volume));
    } else {
      json.null("litres");
    }
    json.end();
  } else {
    json.null("mist");
  }
  write_lamps(json, order.lamps);
  write_water(json, order.water);
  json.place("line", order.line);
  json.end();
}

void write_making(JsonWriter& json, const plan::MakingDetail& making) {
  json.begin_object();
  json.text("id", making.id);
  json.text("title", making.title);
  json.date("date", making.date);
  json.text("supply", making.made.supply);
  json.number("amount", making.made.unit.from_base(making.made.amount));
  json.number("needed", making.made.unit.from_base(making.needed));
  json.text("unit", making.made.unit.symbol);
  json.texts("batches", making.batches);
  json.texts("for", making.uses);
  json.number("person_hours", making.person_seconds / units::seconds_an_hour);
  write_people(json, making.people);
  json.text("crew", making.crew);
  json.begin_list("supplies");
  for (const plan::SupplyAmount& use : making.supplies) write_supply(json, use);
  json.end();
  json.texts("tools", making.tools);
  json.texts("cautions", making.cautions);
  json.texts("notes", making.notes);
  json.place("line", making.line);
  json.end();
}

/// What was planned for a batch after it was given up does not come.
bool is_never(const plan::Plan& plan, const plan::BatchPlan& batch,
              const std::optional<calendar::Day>& day) {
  const auto& stopped = plan.facts_of(batch).stopped;
  return stopped && day && *day > stopped->value;
}

void write_stage(JsonWriter& json, const plan::Plan& plan, const plan::BatchPlan& batch,
                 language::StageId id) {
  const sheet::Row row = plan.row_of(batch);
  const language::Stage& stage = row.stage(id);
  const sheet::StageCells& cells = row.cells(id);
  const auto& parts = row.protocol().parts;
  std::vector<std::string> joined_parts;
  for (const language::PartId part : stage.joined) joined_parts.push_back(parts[part].name);

  json.begin_object();
  json.text("stage", stage.name);
  json.text("title", stage.title);
  json.text("part", parts[stage.part].name);
  json.texts("joins", joined_parts);
  json.text("room", stage.room);
  const auto date = [&](const char* key, sheet::CellId cell) {
    if (is_never(plan, batch, row.known_day(cell))) {
      json.null(key);
    } else {
      json.date(key, row.value(cell));
    }
  };
  date("start", cells.start);
  date("end", cells.end);
  date("earliest", cells.earliest);
  date("latest", cells.latest);
  json.number("float", row.value(cells.float_days));
  json.number("plants", row.value(cells.plants));
  json.number("left", row.value(cells.left));
  json.begin_list("settings");
  if (batch.dated) {
    const auto place = static_cast<std::size_t>(&batch - plan.batches.data());
    for (const plan::SettingSpan& span : plan::setting_spans(plan, place, id)) {
      json.begin_object();
      write_setting(json, span.setting);
      json.date("from", span.from);
      json.date("to", span.to);
      json.end();
    }
  }
  json.end();
  json.end();
}

void write_note(JsonWriter& json, const plan::Note& note) {
  json.begin_object();
  json.text("batch", note.batch);
  json.text("message", note.message);
  json.place("line", note.span);
  json.end();
}

void write_conflict(JsonWriter& json, const plan::Conflict& conflict) {
  json.begin_object();
  json.text("batch", conflict.batch);
  json.texts("others", conflict.others);
  json.text("code", conflict.code);
  json.text("message", conflict.message);
  json.begin_list("facts");
  for (const sheet::DateConflict::Line& fact : conflict.facts) {
    json.begin_object();
    json.text("text", fact.text);
    json.place("line", fact.span);
    json.end();
  }
  json.end();
  write_repairs_json(json, conflict.repairs);
  json.place("line", conflict.span);
  json.end();
}

/// What is picked when, and sorted into what; nothing where the protocol has none of it.
void write_portions(JsonWriter& json, const plan::Plan& plan, const plan::BatchPlan& batch) {
  const std::vector<plan::Portion> portions = plan::portions_of(plan, batch);
  if (portions.empty()) return;
  const sheet::Row row = plan.row_of(batch);
  json.begin_list("pickings");
  for (const plan::Portion& one : portions) {
    json.begin_object();
    json.text("stage", row.stage(one.stage).name);
    json.number("picking", one.number);
    json.date("date", one.date);
    json.number("plants", one.plants);
    json.flag("counted", one.counted);
    json.begin_list("grades");
    for (const plan::GradeAmount& grade : one.grades) {
      json.begin_object();
      json.text("grade", grade.grade == nullptr ? "" : grade.grade->name);
      json.text("way", grade.grade == nullptr ? "thrown out" : language::word(grade.grade->way));
      json.number("plants", grade.plants);
      json.end();
    }
    json.end();
    json.end();
  }
  json.end();
}

/// How many are started, and how many will come of them.
void write_prospects(JsonWriter& json, const plan::Plan& plan, const plan::BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  const double sure = row.value(row.layout().sure);
  if (sure > 0) {
    json.number("sure", sure);
  } else {
    json.null("sure");
  }
  json.number("spare", row.value(row.layout().spare));
  json.flag("full_trays", row.value(row.layout().full_trays) > 0);
  json.begin_list("starts");
  for (const sheet::Chain& chain : row.layout().chains) {
    const language::StageId first = chain.stages.front();
    if (!row.stage(first).takes.empty()) continue;
    json.begin_object();
    json.text("stage", row.stage(first).name);
    json.number("plants", row.value(row.cells(first).plants));
    json.end();
  }
  json.end();
  const auto prospects = sheet::prospects(plan.row_of(batch));
  const bool range = prospects && !prospects->bound;
  const auto number = [&](const char* key, bool known, double value) {
    if (known) {
      json.number(key, value);
    } else {
      json.null(key);
    }
  };
  number("expected", prospects.has_value(), prospects ? prospects->expected : 0);
  number("low", range, range ? static_cast<double>(prospects->low) : 0);
  number("high", range, range ? static_cast<double>(prospects->high) : 0);
  number("chance", prospects.has_value(), prospects ? prospects->chance : 0);
  json.flag("chance_is_a_bound", prospects && prospects->bound);
  write_portions(json, plan, batch);
}

void write_batch(JsonWriter& json, const plan::Plan& plan, const plan::BatchPlan& batch,
                 const std::vector<const plan::WorkOrder*>& orders) {
  const language::Protocol& protocol = plan.protocol_of(batch);
  const sheet::Row row = plan.row_of(batch);
  const book::Batch& facts = plan.facts_of(batch);
  json.begin_object(Layout::lines);
  json.text("batch", facts.id.value);
  json.text("protocol", protocol.name);
  json.number("edition", protocol.edition);
  json.text("title", protocol.title);
  json.text("crop", protocol.crop);
  if (!facts.cultivar.empty()) json.text("cultivar", facts.cultivar);
  json.number("plants", static_cast<double>(facts.plants.value));
  if (batch.from_stock > 0) {
    json.number("from_stock", batch.from_stock);
    json.flag("raised", batch.raised);
  }
  if (batch.over) {
    json.text("state", facts.stopped ? "given up" : "closed");
    json.text("over", calendar::iso_date(*batch.over));
  }
  if (is_never(plan, batch, row.ready())) {
    json.null("ready");
  } else if (!batch.raised) {
    json.date("ready", *plan::ready_on(plan, batch));
  } else {
    json.date("ready", row.value(row.layout().ready));
  }
  if (batch.raised) write_prospects(json, plan, batch);
  write_wanted(json, plan, batch);
  json.number("person_hours",
              batch.raised ? row.value(row.layout().hours) / units::seconds_an_hour : 0);
  json.begin_list("stages", Layout::lines);
  for (const language::StageId s : protocol.stages.ids()) {
    if (batch.raised) write_stage(json, plan, batch, s);
  }
  json.end();
  json.begin_list("work_orders", Layout::lines);
  for (const plan::WorkOrder* order : orders) write_order(json, plan::describe(plan, *order));
  json.end();
  json.end();
}

}  // namespace

void write_repairs_json(JsonWriter& json, const std::vector<plan::Repair>& repairs) {
  json.begin_list("repairs");
  for (const plan::Repair& repair : repairs) {
    json.begin_object();
    json.text("text", repair.text);
    if (repair.change.empty()) {
      json.null("change");
    } else {
      json.text("change", repair.change);
    }
    json.end();
  }
  json.end();
}

void write_orders_json(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                       const Selection& selected) {
  std::vector<std::vector<const plan::WorkOrder*>> by_batch(plan.batches.size());
  for (const std::size_t i : selected.orders) {
    by_batch[plan.orders[i].batch].push_back(&plan.orders[i]);
  }
  const Concerned concerned(plan, filter);

  JsonWriter json(out);
  json.begin_object(Layout::lines);
  json.text("site", plan.book->site.name.value);
  json.begin_list("batches", Layout::lines);
  for (std::size_t i = 0; i < plan.batches.size() && out; ++i) {
    if (passes(plan, plan.batches[i], filter)) {
      write_batch(json, plan, plan.batches[i], by_batch[i]);
    }
  }
  json.end();
  json.begin_list("setting_orders", Layout::lines);
  for (const plan::SettingOrder& order : selected.settings) {
    if (out) write_order(json, plan::describe(plan, order));
  }
  json.end();
  if (!plan.recipes.empty()) {
    json.begin_list("makings", Layout::lines);
    for (const std::size_t i : selected.makings) {
      if (out) write_making(json, plan::describe(plan, plan.makings[i]));
    }
    json.end();
  }
  json.begin_list("notes", Layout::lines);
  for (const plan::Note& note : plan.notes) {
    if (concerned(note.batch)) write_note(json, note);
  }
  json.end();
  json.begin_list("conflicts", Layout::lines);
  for (const plan::Conflict& conflict : plan.conflicts) {
    if (concerned(conflict)) write_conflict(json, conflict);
  }
  json.end();
  json.end();
}

}  // namespace budwood::report
