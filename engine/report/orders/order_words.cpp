#include "report/orders/order_words.hpp"

#include <set>

#include "report/formats/wording.hpp"

namespace budwood::report {

std::string supply_text(const plan::SupplyAmount& use) {
  std::string text = use.title.empty() ? use.supply : use.title;
  text += ": " + units::format(use.amount, use.unit);
  if (use.reused) text += " (comes back)";
  if (!use.lot.empty()) text += " (lot: " + use.lot + ")";
  return text;
}

std::string lots_text(const plan::OrderDetail& order) {
  std::vector<std::string> pieces;
  for (const plan::SupplyAmount& use : order.supplies) {
    if (!use.lot.empty()) pieces.push_back(use.supply + ": " + use.lot);
  }
  return joined(pieces, "; ");
}

std::vector<SupplyColumn> supply_columns(const plan::Plan& plan) {
  std::set<SupplyColumn> columns;
  for (const sheet::Sheet& sheet : plan.sheets) {
    for (const language::Supply& supply : sheet.layout().protocol.supplies) {
      columns.emplace(supply.name, supply.unit.symbol);
    }
  }
  return {columns.begin(), columns.end()};
}

std::optional<double> supply_amount(const plan::OrderDetail& order, const SupplyColumn& column) {
  std::optional<double> amount;
  for (const plan::SupplyAmount& use : order.supplies) {
    if (use.supply != column.first || use.unit.symbol != column.second) continue;
    amount = amount.value_or(0) + use.unit.from_base(use.amount);
  }
  return amount;
}

}  // namespace budwood::report
