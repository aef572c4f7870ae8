#include <array>
#include <ostream>
#include <string_view>

#include "report/json.hpp"
#include "report/wording.hpp"
#include "report/writers.hpp"

namespace budwood::report {

namespace {

Json setting_json(const plan::DaySetting& setting) {
  static constexpr std::array<const char*, 3> halves = {"both", "day", "night"};
  return {{"setting", setting.name},
          {"half", halves[static_cast<std::size_t>(setting.half)]},
          {"value", setting.value}};
}

Json supply_json(const plan::SupplyAmount& use) {
  return {{"supply", use.supply},
          {"title", use.title},
          {"amount", json_number(use.unit.from_base(use.amount))},
          {"unit", use.unit.symbol},
          {"reused", use.reused},
          {"lot", use.lot}};
}

template <class Items, class ToJson>
Json array_json(const Items& items, ToJson to_json) {
  Json array = Json::array();
  for (const auto& item : items) array.push_back(to_json(item));
  return array;
}

Json order_json(const plan::OrderDetail& order) {
  return {{"id", order.id},
          {"stage", order.stage},
          {"date", calendar::iso_date(order.date)},
          {"weekday", calendar::long_name(calendar::weekday(order.date))},
          {"week", calendar::iso_week_text(order.date)},
          {"due", calendar::iso_date(order.due)},
          {"title", order.title},
          {"plants", json_number(order.plants)},
          {"person_hours", json_number(order.person_seconds / seconds_an_hour)},
          {"people", order.people > 0 ? json_number(order.people) : Json(nullptr)},
          {"crew", order.crew},
          {"room", order.room},
          {"supplies", array_json(order.supplies, supply_json)},
          {"tools", order.tools},
          {"settings", array_json(order.settings, setting_json)},
          {"cautions", order.cautions},
          {"record", order.records},
          {"notes", order.notes},
          {"line", json_place(order.line)}};
}

Json stage_json(const plan::Plan& plan, const plan::BatchPlan& batch, std::size_t number) {
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  const language::Protocol& protocol = plan.protocol_of(batch);
  const language::Stage& stage = protocol.stages[number];
  const sheet::StageCells& cells = sheet.layout().stages[number];
  const auto value = [&](sheet::CellId cell) { return sheet.value(cell, batch.row); };
  Json settings = Json::array();
  if (batch.dated) {
    for (const plan::SettingSpan& span : plan::setting_spans(sheet, batch.row, number)) {
      Json setting = setting_json(span.setting);
      setting["from"] = calendar::iso_date(span.from);
      setting["to"] = calendar::iso_date(span.to);
      settings.push_back(std::move(setting));
    }
  }
  return {{"stage", stage.name},
          {"title", stage.title},
          {"part", protocol.parts[static_cast<std::size_t>(stage.part)].name},
          {"joins", array_json(stage.joined,
                               [&](std::int32_t part) {
                                 return protocol.parts[static_cast<std::size_t>(part)].name;
                               })},
          {"room", stage.room},
          {"start", json_date(value(cells.start))},
          {"end", json_date(value(cells.end))},
          {"earliest", json_date(value(cells.earliest))},
          {"latest", json_date(value(cells.latest))},
          {"plants", json_number(value(cells.plants))},
          {"left", json_number(value(cells.left))},
          {"settings", std::move(settings)}};
}

Json note_json(const plan::Note& note) {
  return {{"batch", note.batch}, {"message", note.message}, {"line", json_place(note.span)}};
}

Json conflict_json(const plan::Conflict& conflict) {
  const auto fact_json = [](const sheet::DateConflict::Line& fact) -> Json {
    return {{"text", fact.text}, {"line", json_place(fact.span)}};
  };
  return {{"batch", conflict.batch},
          {"code", conflict.code},
          {"message", conflict.message},
          {"facts", array_json(conflict.facts, fact_json)},
          {"line", json_place(conflict.span)}};
}

/// Writes lists whose entries stand on a line each, so that a plan of any size is never held whole
/// as a tree and two plans can be compared line by line.
class ListWriter {
 public:
  ListWriter(std::ostream& out, std::string_view key, std::string_view indent)
      : out_(out), indent_(indent) {
    out_ << indent_ << '"' << key << "\": [";
  }
  /// Ready for the next entry, which the caller writes.
  std::ostream& next() {
    out_ << (empty_ ? "\n" : ",\n") << indent_ << "  ";
    empty_ = false;
    return out_;
  }
  void close(std::string_view after) {
    if (!empty_) out_ << '\n' << indent_;
    out_ << ']' << after;
  }

 private:
  std::ostream& out_;
  std::string_view indent_;
  bool empty_ = true;
};

void write_batch(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
                 const std::vector<std::size_t>& orders) {
  const language::Protocol& protocol = plan.protocol_of(batch);
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  const Json facts = {{"batch", plan.facts_of(batch).id.value},
                      {"protocol", protocol.name},
                      {"edition", protocol.edition},
                      {"title", protocol.title},
                      {"crop", protocol.crop},
                      {"plants", plan.facts_of(batch).plants.value},
                      {"ready", json_date(sheet.value(sheet.layout().ready, batch.row))},
                      {"person_hours", json_number(sheet.value(sheet.layout().hours, batch.row) /
                                                   seconds_an_hour)}};
  out << "{\n";
  for (const auto& [key, value] : facts.items()) {
    out << "      \"" << key << "\": " << dump(value) << ",\n";
  }
  ListWriter stages(out, "stages", "      ");
  for (std::size_t s = 0; s < protocol.stages.size(); ++s) {
    stages.next() << dump(stage_json(plan, batch, s));
  }
  stages.close(",\n");
  ListWriter list(out, "work_orders", "      ");
  for (const std::size_t i : orders) {
    list.next() << dump(order_json(plan::describe(plan, plan.orders[i])));
  }
  list.close("\n    }");
}

}  // namespace

void write_orders_json(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                       const std::vector<std::size_t>& selected) {
  std::vector<std::vector<std::size_t>> by_batch(plan.batches.size());
  for (const std::size_t i : selected) by_batch[plan.orders[i].batch].push_back(i);
  const auto concerned = [&](const std::string& batch) {
    return !filter.batch || batch == *filter.batch;
  };

  out << "{\n  \"site\": " << dump(plan.book->site.name.value) << ",\n";
  ListWriter batches(out, "batches", "  ");
  for (std::size_t i = 0; i < plan.batches.size() && out; ++i) {
    if (!passes(plan, plan.batches[i], filter)) continue;
    write_batch(batches.next(), plan, plan.batches[i], by_batch[i]);
  }
  batches.close(",\n");
  ListWriter notes(out, "notes", "  ");
  for (const plan::Note& note : plan.notes) {
    if (concerned(note.batch)) notes.next() << dump(note_json(note));
  }
  notes.close(",\n");
  ListWriter conflicts(out, "conflicts", "  ");
  for (const plan::Conflict& conflict : plan.conflicts) {
    if (concerned(conflict.batch)) conflicts.next() << dump(conflict_json(conflict));
  }
  conflicts.close("\n}\n");
}

}  // namespace budwood::report
