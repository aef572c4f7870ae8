#include <algorithm>

#include "page/views/views.hpp"
#include "pictures/pictures.hpp"
#include "plan/orders/setting_changes.hpp"
#include "record/line.hpp"
#include "report/demand/demand_report.hpp"
#include "report/formats/wording.hpp"
#include "report/orders/order_words.hpp"
#include "report/settings/settings_days.hpp"
#include "sheet/counts/prospects.hpp"

namespace budwood::page {

namespace {

constexpr std::size_t most_entries = 500;

Json stages_json(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  Json out = Json::array();
  for (const language::StageId id : row.protocol().stages.ids()) {
    const language::Stage& stage = row.stage(id);
    const sheet::StageCells& cells = row.cells(id);
    Json settings = Json::array();
    if (batch.dated) {
      const auto place = static_cast<std::size_t>(&batch - plan.batches.data());
      for (const plan::SettingSpan& span : plan::setting_spans(plan, place, id)) {
        settings.push_back({{"text", report::settings_text({span.setting})},
                            {"from", calendar::iso_date(span.from)},
                            {"to", calendar::iso_date(span.to)}});
      }
    }
    out.push_back({{"name", stage.name},
                   {"title", report::shown_name(stage)},
                   {"part", row.protocol().parts[stage.part].title},
                   {"room", stage.room},
                   {"start", day_json(row.value(cells.start))},
                   {"end", day_json(row.value(cells.end))},
                   {"earliest", day_json(row.value(cells.earliest))},
                   {"latest", day_json(row.value(cells.latest))},
                   {"float", number_json(row.value(cells.float_days))},
                   {"plants", number_json(row.value(cells.plants))},
                   {"left", number_json(row.value(cells.left))},
                   {"settings", std::move(settings)}});
  }
  return out;
}

/// What is expected, picked, promised and wanted, a line each.
Json expected_lines(const plan::Plan& plan, const plan::BatchPlan& batch) {
  Json lines = Json::array();
  if (!batch.raised) return lines;
  const auto prospects = sheet::prospects(plan.row_of(batch));
  if (!prospects) return lines;
  std::string out = report::whole_plants(prospects->expected) + " expected";
  if (!prospects->bound) {
    out += ", " + std::to_string(prospects->low) + " to " + std::to_string(prospects->high) +
           " in 90 of 100 cases";
  }
  out += "; " + std::to_string(plan.facts_of(batch).plants.value) + " are reached with " +
         report::chance_text(prospects->chance) + " chance.";
  lines.push_back(std::move(out));
  for (const std::string& line : report::portion_lines(plan, batch)) lines.push_back(line);
  for (const std::string& line : report::promise_lines(plan, batch)) lines.push_back(line);
  for (const std::string& line : report::demand_lines(plan, batch)) lines.push_back(line);
  return lines;
}

Json entries_json(const Snapshot& now, const book::Batch& batch) {
  Json out = Json::array();
  const record::History& history = now.book->history;
  for (std::size_t i = history.size(); i > 0 && out.size() < most_entries; --i) {
    const record::Entry& entry = history[i - 1];
    if (entry.batch != batch.id.value &&
        (batch.split_from.empty() || entry.batch != batch.split_from)) {
      continue;
    }
    out.push_back({{"id", entry.id},
                   {"day", calendar::iso_date(entry.day)},
                   {"by", entry.by},
                   {"told", record::told(entry)}});
  }
  return out;
}

}  // namespace

Json batch_view(const Snapshot& now, const Question& question) {
  const plan::BatchPlan* batch = now.batch(question["batch"]);
  if (batch == nullptr) return nullptr;
  const plan::Plan& plan = now.plan;
  const book::Batch& facts = plan.facts_of(*batch);
  const language::Protocol& protocol = plan.protocol_of(*batch);
  const auto place = static_cast<std::uint32_t>(batch - plan.batches.data());
  const auto ready = plan::ready_on(plan, *batch);
  Json orders = Json::array();
  for (const plan::WorkOrder& order : plan.orders) {
    if (order.batch == place) orders.push_back(order_json(now, order));
  }
  Json notes = Json::array();
  for (const plan::Note& note : plan.notes) {
    if (note.batch == facts.id.value) notes.push_back(note.message);
  }
  return {
      {"id", facts.id.value},
      {"label", batch_label(facts)},
      {"protocol", protocol.name},
      {"title", report::protocol_text(protocol)},
      {"plants", facts.plants.value},
      {"rounds", protocol.of_site},  // its plants are cards
      {"note", facts.note},
      {"ready", ready ? Json(calendar::iso_date(*ready)) : Json(nullptr)},
      {"hours", report::time_text(plan.row_of(*batch).value(plan.row_of(*batch).layout().hours))},
      {"expected", expected_lines(plan, *batch)},
      {"dated", batch->dated},
      {"raised", batch->raised},
      {"over", batch->over ? Json(calendar::iso_date(*batch->over)) : Json(nullptr)},
      {"stages", batch->raised ? stages_json(plan, *batch) : Json::array()},
      {"orders", std::move(orders)},
      {"entries", entries_json(now, facts)},
      {"conflicts", conflicts_json(now, facts.id.value, 50)},
      {"notes", std::move(notes)}};
}

bool batch_picture(std::ostream& out, const Snapshot& now, const std::string& batch) {
  const plan::BatchPlan* found = now.batch(batch);
  if (found == nullptr || !found->dated) return false;
  const auto place = static_cast<std::size_t>(found - now.plan.batches.data());
  return pictures::write_batch_plan(out, now.plan, place, now.book->today);
}

}  // namespace budwood::page
