#include <set>

#include "book/book.hpp"

namespace budwood::book {

std::string levelled_yaml(const std::vector<Batch>& batches) {
  std::string out =
      "# The dates that levelling chose. `budwood plan --level --keep` writes this file anew;\n"
      "# without it the batches are planned as batches.yaml has them.\nlevelled:\n";
  std::set<std::string> written;
  for (const Batch& batch : batches) {
    // Cultivars of one batch have one entry.
    if (!batch.levelled || !written.insert(batch.id.value).second) continue;
    const Levelled& levelled = *batch.levelled;
    out += "  - batch: " + batch.id.value + "\n";
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
