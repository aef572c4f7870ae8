#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book/write/scalars.hpp"
#include "language/bases/layer.hpp"

namespace budwood::book {

namespace {

/// `demand` and `promised`, as they can be read again.
std::string wanted_yaml(const Batch& batch) {
  std::string out;
  if (batch.demand) {
    const Demand& one = *batch.demand;
    out += "    demand: {least: " + std::to_string(one.least.value) +
           ", usual: " + std::to_string(one.usual.value) +
           ", most: " + std::to_string(one.most.value) +
           ", too_many: " + as_quoted(one.too_many.text) +
           ", too_few: " + as_quoted(one.too_few.text) + "}\n";
  }
  if (!batch.promised.empty()) out += "    promised:\n";
  for (const Promise& one : batch.promised) {
    out += "      - {plants: " + std::to_string(one.plants) + ", on: " + calendar::iso_date(one.on);
    if (!one.whose.empty()) out += ", for: " + as_quoted(one.whose);
    out += "}\n";
  }
  return out;
}

}  // namespace

std::string batch_yaml(const Batch& batch) {
  std::string out = "  - batch: " + as_scalar(batch.id.value) +
                    "\n    protocol: " + as_scalar(language::method_of(batch.protocol.value));
  if (batch.edition) out += " edition " + std::to_string(batch.edition->value);
  const std::string variant = language::variant_of(batch.protocol.value);
  if (!variant.empty()) out += "\n    variant: " + as_scalar(variant);
  out += "\n    plants: " + std::to_string(batch.plants.value) + "\n";
  if (batch.ready) out += "    ready: " + calendar::iso_date(batch.ready->value) + "\n";
  if (batch.start) out += "    start: " + calendar::iso_date(batch.start->value) + "\n";
  if (batch.not_before) {
    out += "    not_before: " + calendar::iso_date(batch.not_before->value) + "\n";
  }
  if (batch.sure) out += "    sure: " + units::format_number(100 * batch.sure->value) + " %\n";
  if (batch.spare) out += "    spare: " + units::format_number(100 * batch.spare->value) + " %\n";
  if (batch.full_trays) {
    out += std::string("    full_trays: ") + (batch.full_trays->value ? "yes" : "no") + "\n";
  }
  out += wanted_yaml(batch);
  if (batch.priority) out += "    priority: " + std::to_string(batch.priority->value) + "\n";
  if (!batch.set.empty()) out += "    set:\n";
  for (const auto& [input, written] : batch.set)
    out += "      " + as_scalar(input) + ": " + as_quoted(written.text) + "\n";
  if (!batch.lots.empty()) out += "    lots:\n";
  for (const auto& [supply, lot] : batch.lots)
    out += "      " + as_scalar(supply) + ": " + as_quoted(lot.value) + "\n";
  if (!batch.pins.empty()) out += "    pins:\n";
  for (const Pin& pin : batch.pins) {
    out += "      " + pin.stage + (pin.side == Pin::Side::start ? ".start: " : ".end: ") +
           calendar::iso_date(pin.day) + "\n";
  }
  if (!batch.note.empty()) out += "    note: " + as_quoted(batch.note) + "\n";
  return out;
}

std::string levelled_yaml(const std::vector<Batch>& batches) {
  std::string out =
      "# The dates that levelling chose. `budwood plan --level --keep` writes this file anew;\n"
      "# without it the batches are planned as batches.yaml has them.\nlevelled:\n";
  std::set<std::string> written;
  for (const Batch& batch : batches) {
    // Cultivars of one batch have one entry.
    if (!batch.levelled || !written.insert(batch.id.value).second) continue;
    const Levelled& levelled = *batch.levelled;
    out += "  - batch: " + as_scalar(batch.id.value) + "\n";
    out += "    ready: " + calendar::iso_date(levelled.ready) + "\n";
    if (!levelled.dates.empty()) out += "    dates:\n";
    for (const Pin& pin : levelled.dates) {
      out += "      " + pin.stage + (pin.side == Pin::Side::start ? ".start: " : ".end: ") +
             calendar::iso_date(pin.day) + "\n";
    }
    if (!levelled.orders.empty()) out += "    orders:\n";
    for (const OrderDay& order : levelled.orders) {
      out += "      " + order.order + ": " + calendar::iso_date(order.day) + "\n";
    }
  }
  if (written.empty()) out += "  []\n";
  return out;
}

}  // namespace budwood::book
