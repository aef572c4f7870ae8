#include "page/views/views.hpp"
#include "record/line.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "report/orders/order_words.hpp"

namespace budwood::page {

namespace {

/// What is to be written down at a work: how it is asked for, and how an entry says it.
Json records_json(const language::Protocol& protocol, const language::Work& work) {
  Json out = Json::array();
  for (const language::Record& record : work.records) {
    const language::Observation* seen = nullptr;
    for (const language::Observation& one : protocol.observations) {
      if (one.name == record.name) seen = &one;
    }
    const bool share = seen != nullptr && seen->has_unit && seen->unit.symbol == "%";
    const char* kind = seen == nullptr   ? "plants"
                       : !seen->has_unit ? "sight"
                       : share           ? "share"
                                         : "number";
    out.push_back({{"name", record.name},
                   {"title", seen != nullptr && !seen->title.empty() ? seen->title : record.name},
                   {"kind", kind},
                   {"unit", seen != nullptr && seen->has_unit ? seen->unit.symbol : record.unit}});
  }
  return out;
}

/// What an entry says of the place under which it is shown, so without that place.
std::string told_there(const record::Entry& entry) {
  std::string out = record::told(entry);
  const std::string place = record::whole_place(entry) + " ";
  const std::size_t at = out.find(place);
  return at == std::string::npos ? out : out.substr(at + place.size());
}

Json noted_json(const Snapshot& now, const std::string& place) {
  Json out = Json::array();
  for (const record::Entry* entry : now.noted_of(place)) {
    out.push_back({{"id", entry->id},
                   {"day", calendar::iso_date(entry->day)},
                   {"by", entry->by},
                   {"what", record::word(entry->what)},
                   {"told", told_there(*entry)}});
  }
  return out;
}

}  // namespace

Json order_json(const Snapshot& now, const plan::WorkOrder& order) {
  const plan::OrderDetail told = plan::describe(now.plan, order);
  const plan::BatchPlan& batch = now.plan.batches[order.batch];
  const language::Protocol& protocol = now.plan.protocol_of(batch);
  const language::Work& work = protocol.stages[order.stage].works[order.work.place()];
  Json supplies = Json::array();
  for (const plan::SupplyAmount& use : told.supplies) {
    supplies.push_back(report::supply_text(use));
  }
  // All days of spread work are one order of the record.
  const std::string place = told.batch + "/" + plan::order_name(now.plan, order);
  const calendar::Day last = plan::last_day_of(now.plan, order);
  return {{"id", told.id},
          {"place", place},
          {"batch", told.batch},
          {"label", told.cultivar.empty() ? told.batch : told.batch + " " + told.cultivar},
          {"stage", told.stage},
          {"stage_title", told.stage_title},
          {"title", told.title},
          {"date", calendar::iso_date(told.date)},
          {"due", calendar::iso_date(told.due)},
          {"last", calendar::iso_date(last)},
          {"state", plan::word(told.state)},
          {"part", order.part + 1},
          {"parts", order.parts},
          {"plants", number_json(told.plants)},
          {"plants_text", report::plants_text(told.plants, told.cards)},
          {"time", report::time_text(told.person_seconds)},
          {"crew", told.crew},
          {"on_duty", order.on_duty},
          {"room", told.room},
          {"supplies", std::move(supplies)},
          {"tools", told.tools},
          {"settings", report::settings_text(told.settings)},
          {"cautions", told.cautions},
          {"notes", told.notes},
          {"records", records_json(protocol, work)},
          {"noted", noted_json(now, place)},
          {"line", place_json(told.line)}};
}

Json setting_json(const plan::SettingOrder& order, const plan::Plan& plan) {
  const plan::SettingDetail told = plan::describe(plan, order);
  return {{"id", told.id},
          {"room", told.room},
          {"place", report::place_text(told)},
          {"changes", report::changes_text(told)},
          {"whom", report::whom_text(told)},
          {"by_timer", told.by_timer},
          {"date", calendar::iso_date(told.date)},
          {"since", calendar::iso_date(told.since)}};
}

Json making_json(const plan::MakingDetail& making) {
  Json supplies = Json::array();
  for (const plan::SupplyAmount& use : making.supplies) {
    supplies.push_back(report::supply_text(use));
  }
  // An amount as an entry of the record says it.
  const double amount = making.made.unit.from_base(making.made.amount);
  return {{"id", making.id},
          {"supply", making.made.supply},
          {"amount", units::format_number(amount) + " " + making.made.unit.symbol},
          {"title", making.title},
          {"date", calendar::iso_date(making.date)},
          {"time", report::time_text(making.person_seconds)},
          {"crew", making.crew},
          {"supplies", std::move(supplies)},
          {"uses", making.uses},
          {"batches", making.batches},
          {"tools", making.tools},
          {"cautions", making.cautions},
          {"notes", making.notes},
          {"line", place_json(making.line)}};
}

Json conflict_json(const Snapshot& now, const plan::Conflict& conflict) {
  Json facts = Json::array();
  for (const sheet::DateConflict::Line& fact : conflict.facts) {
    facts.push_back({{"text", fact.text}, {"place", place_json(fact.span)}});
  }
  Json repairs = Json::array();
  for (const plan::Repair& one : conflict.repairs) {
    repairs.push_back(
        {{"text", one.text}, {"change", one.change.empty() ? Json(nullptr) : Json(one.change)}});
  }
  const plan::BatchPlan* batch = now.batch(conflict.batch);
  const Json key = batch == nullptr ? Json(nullptr) : Json(date_key(now.plan.facts_of(*batch)));
  return {{"batch", conflict.batch},       {"key", key},
          {"others", conflict.others},     {"code", conflict.code},
          {"message", conflict.message},   {"facts", std::move(facts)},
          {"repairs", std::move(repairs)}, {"place", place_json(conflict.span)}};
}

Json conflicts_json(const Snapshot& now, const std::string& batch, std::size_t most) {
  Json out = Json::array();
  for (const plan::Conflict& conflict : now.plan.conflicts) {
    if (!batch.empty() && !plan::concerns(conflict, batch)) continue;
    if (out.size() >= most) break;
    out.push_back(conflict_json(now, conflict));
  }
  return out;
}

}  // namespace budwood::page
