#include "book/stock/supplies.hpp"

namespace budwood::book {

KnownSupplies supplies_of(const std::vector<language::Protocol>& protocols) {
  KnownSupplies out;
  for (const language::Protocol& protocol : protocols) {
    for (const language::Supply& supply : protocol.supplies) out.try_emplace(supply.name, &supply);
  }
  return out;
}

void report_unknown_supply(const KnownSupplies& known, const language::LeftOut& left_out,
                           const Placed<std::string>& supply, text::Diagnostics& diagnostics) {
  if (left_out.may_mention(supply.value)) return;
  std::vector<std::string> names;
  for (const auto& [name, one] : known) names.push_back(name);
  diagnostics.warning("unknown-name", supply.span,
                      "No protocol of this book has a supply `" + supply.value + "`.",
                      text::did_you_mean(supply.value, names));
}

}  // namespace budwood::book
