#include "report/formats/json.hpp"
#include "report/sheet/sensitivity_words.hpp"

namespace budwood::report {

namespace {

using Layout = JsonWriter::Layout;
using plan::Tried;

void write_value(JsonWriter& json, std::string_view key, const Scale& scale, double value) {
  if (scale.dates) {
    json.date(key, value);
  } else {
    json.number(key, scale.number(value));
  }
}

void write_extreme(JsonWriter& json, std::string_view key, const Scale& cell, const Scale& scale,
                   const Tried::Trial* trial) {
  if (trial == nullptr) return json.null(key);
  json.begin_object(key);
  write_value(json, "value", cell, trial->result);
  write_value(json, "at", scale, trial->value);
  json.end();
}

void write_tried(JsonWriter& json, const Asked& asked, const Scale& cell, const Tried& one) {
  const Scale scale = scale_of(one);
  json.begin_object();
  json.text("input", name_of(asked, one));
  json.text("kind", word(one.what));
  json.text("unit", scale.name());
  write_value(json, "low", scale, one.low());
  write_value(json, "high", scale, one.high());
  write_value(json, "now", scale, one.present);
  write_value(json, "at_low", cell, one.trials.front().result);
  write_value(json, "at_high", cell, one.trials.back().result);
  write_extreme(json, "smallest", cell, scale, one.smallest());
  write_extreme(json, "largest", cell, scale, one.largest());
  json.number("moves", cell.difference(one.moves()));
  json.begin_list("holds");
  for (const Tried::Stretch& stretch : one.feasible) {
    json.begin_object();
    write_value(json, "from", scale, stretch.low);
    write_value(json, "to", scale, stretch.high);
    json.end();
  }
  json.end();
  json.text("below", one.below);
  json.text("above", one.above);
  json.end();
}

void write_batch(JsonWriter& json, const Asked& asked, const plan::Sensitivity& found) {
  const Scale cell = scale_of(asked, found.cell);
  json.begin_object(Layout::lines);
  json.text("batch", asked.name());
  json.text("cell", asked.t.cell(found.cell).name);
  json.text("unit", cell.name());
  write_value(json, "now", cell, found.present);
  json.text("obstacle", found.obstacle);
  json.begin_list("inputs", Layout::lines);
  for (const Tried& one : found.inputs) write_tried(json, asked, cell, one);
  for (const Tried& one : found.batch) write_tried(json, asked, cell, one);
  json.end();
  std::vector<std::string> names;
  for (const sheet::CellId id : found.without_range) names.push_back(asked.t.cell(id).name);
  json.texts("without_range", names);
  json.end();
}

}  // namespace

void write_sensitivity_json(std::ostream& out, const plan::Plan& plan,
                            const std::vector<BatchSensitivity>& batches) {
  JsonWriter json(out);
  json.begin_object(Layout::lines);
  json.begin_list("batches", Layout::lines);
  for (const BatchSensitivity& one : batches) write_batch(json, Asked(plan, *one.batch), one.found);
  json.end();
  json.end();
}

}  // namespace budwood::report
