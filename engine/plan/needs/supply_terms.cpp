#include "plan/needs/supply_terms.hpp"

#include <map>

#include "plan/plan.hpp"
#include "sheet/sheet.hpp"
#include "units/units.hpp"

namespace budwood::plan {

namespace {

constexpr std::string_view packs = "packs";

/// "clips", "L", or "pieces" for what has no unit.
std::string unit_name(const language::Supply& supply) {
  return supply.plain_unit.symbol.empty() ? "pieces" : supply.plain_unit.symbol;
}

void report_unit(const book::Written& written, const language::Supply& supply,
                 const std::string& advice, text::Diagnostics& diagnostics) {
  diagnostics.error("unit-mismatch", written.span,
                    "`" + supply.name + "` is measured in " + unit_name(supply) + ", which `" +
                        written.text + "` does not fit.",
                    advice);
}

void report_no_pack(const book::Written& written, const language::Supply& supply,
                    text::Diagnostics& diagnostics) {
  diagnostics.error("no-pack", written.span,
                    "It is not known how much of `" + supply.name + "` is in a pack.",
                    "Add `pack:` to this line of site.yaml, or to the protocol.");
}

/// What a unit of money is for: "pack" of "EUR/pack" and of "per pack"; "" of "EUR".
std::string divisor_of(const units::Unit& unit) {
  const std::string_view symbol = unit.symbol;
  if (const std::size_t slash = symbol.find('/'); slash != std::string_view::npos) {
    return std::string(symbol.substr(slash + 1));
  }
  constexpr std::string_view per = "per ";
  return symbol.starts_with(per) ? std::string(symbol.substr(per.size())) : std::string();
}

/// Money for a base unit of the supply.
std::optional<double> price_of(const book::Written& written, const language::Supply& supply,
                               double pack, text::Diagnostics& diagnostics) {
  const units::Unit& unit = written.quantity.unit;
  const std::string divisor = written.quantity.has_unit ? divisor_of(unit) : std::string();
  if (divisor.empty()) return written.quantity.value / supply.plain_unit.factor;
  const std::string own = divisor_of(units::quotient(units::Unit{}, supply.plain_unit));
  if (divisor == "pack" && own != "pack") {
    if (pack > 0) return written.quantity.value / pack;
    report_no_pack(written, supply, diagnostics);
    return std::nullopt;
  }
  const bool money = unit.dimension.power(units::Base::money) == 1;
  const units::Dimension wanted =
      (money ? units::money : units::number) / supply.plain_unit.dimension;
  const bool counted = supply.plain_unit.dimension == units::count;
  if (unit.dimension == wanted && (!counted || divisor == own)) return written.quantity.base();
  report_unit(written, supply, "Write the price of one " + own + ", or of a pack.", diagnostics);
  return std::nullopt;
}

/// Protocols that sell one supply in different packs need the site to say which it buys.
void check_packs(const Plan& plan, text::Diagnostics& diagnostics) {
  std::map<std::string, const language::Supply*> seen;
  for (const sheet::Sheet& sheet : plan.sheets) {
    for (const language::Supply& supply : sheet.layout().protocol.supplies) {
      const auto said = plan.book->site.supplies.find(supply.name);
      if (said != plan.book->site.supplies.end() && said->second.pack) continue;
      const language::Supply* first = seen.try_emplace(supply.name, &supply).first->second;
      if (first->pack == supply.pack) continue;
      text::Diagnostic d;
      d.severity = text::Severity::warning;
      d.code = "pack-differs";
      d.span = supply.span;
      d.message = "`" + supply.name + "` comes in other packs than elsewhere in this book.";
      d.advice = "Say in site.yaml which one is bought, such as `" + supply.name +
                 ": {pack: 100}`; until then the other one counts.";
      d.related.push_back({first->span, "Elsewhere it stands like this."});
      diagnostics.add(std::move(d));
    }
  }
}

}  // namespace

std::optional<double> written_amount(const book::Written& written, const language::Supply& supply,
                                     double pack, text::Diagnostics& diagnostics) {
  const units::Unit& unit = written.quantity.unit;
  if (!written.quantity.has_unit) return supply.plain_unit.to_base(written.quantity.value);
  if (unit.dimension == supply.plain_unit.dimension && unit.noun == supply.plain_unit.noun) {
    return written.quantity.base();
  }
  if (unit.noun != packs) {
    report_unit(written, supply, "Such as a number of " + unit_name(supply) + ".", diagnostics);
  } else if (pack > 0) {
    return written.quantity.value * pack;
  } else {
    report_no_pack(written, supply, diagnostics);
  }
  return std::nullopt;
}

SupplyTerms supply_terms(const book::Site& site, const language::Supply& supply,
                         text::Diagnostics& diagnostics) {
  SupplyTerms terms;
  terms.pack = supply.pack;
  const auto found = site.supplies.find(supply.name);
  if (found == site.supplies.end()) return terms;
  const book::SupplyFacts& facts = found->second;
  terms.span = facts.span;
  if (facts.pack) {
    // A pack of packs would be nonsense.
    if (const auto pack = written_amount(*facts.pack, supply, 0, diagnostics)) terms.pack = *pack;
  }
  if (facts.on_hand) {
    terms.on_hand = written_amount(*facts.on_hand, supply, terms.pack, diagnostics).value_or(0);
  }
  if (facts.price) terms.price = price_of(*facts.price, supply, terms.pack, diagnostics);
  if (facts.scrap) terms.scrap = facts.scrap->value;
  if (facts.lead_time) {
    terms.lead_days =
        static_cast<int>(sheet::round_up(facts.lead_time->value / units::seconds_a_day));
  }
  return terms;
}

book::KnownSupplies supplies_in_use(const Plan& plan) {
  book::KnownSupplies out;
  for (const sheet::Sheet& sheet : plan.sheets) {
    for (const language::Supply& supply : sheet.layout().protocol.supplies) {
      out.try_emplace(supply.name, &supply);
    }
  }
  return out;
}

book::KnownSupplies supplies_of(const Plan& plan) {
  book::KnownSupplies all = supplies_in_use(plan);
  all.merge(book::supplies_of(plan.book->protocols));
  return all;
}

void check_site_supplies(const Plan& plan, text::Diagnostics& diagnostics) {
  const auto known = supplies_of(plan);
  for (const auto& [name, facts] : plan.book->site.supplies) {
    if (const auto supply = known.find(name); supply != known.end()) {
      supply_terms(plan.book->site, *supply->second, diagnostics);
    } else if (!plan.book->site.recipes_unread) {  // it may go into one of those
      book::report_unknown_supply(known, plan.book->left_out, {name, facts.span}, diagnostics);
    }
  }
  check_packs(plan, diagnostics);
}

}  // namespace budwood::plan
