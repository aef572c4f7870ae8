#include "plan/needs/supply_terms.hpp"

#include <algorithm>
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

int days_of(const book::Placed<double>& time) {
  return static_cast<int>(sheet::round_up(time.value / units::seconds_a_day));
}

/// Prices from larger amounts on, ascending. What gains nothing is told and left out.
std::vector<Offer::Break> breaks_of(const book::BuyingTerms& terms, const language::Supply& supply,
                                    const Offer& offer, double pack,
                                    text::Diagnostics& diagnostics) {
  struct Placed {
    Offer::Break of;
    text::Span span;
  };
  std::vector<Placed> all;
  for (const book::BuyingTerms::Break& one : terms.breaks) {
    const auto from = written_amount(one.from, supply, pack, diagnostics);
    const auto price = price_of(one.price, supply, pack, diagnostics);
    if (from && price) all.push_back({{*from, *price}, one.from.span});
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Placed& a, const Placed& b) { return a.of.from < b.of.from; });
  std::vector<Offer::Break> out;
  for (const Placed& one : all) {
    if (!offer.price) {
      diagnostics.error("no-price", one.span,
                        "There is a price for more of `" + supply.name + "`, and none for less.",
                        "Add `price:`.");
      return {};
    }
    const double before = out.empty() ? *offer.price : out.back().price;
    if (one.of.price < before - sheet::slack(one.of.price, before)) {
      out.push_back(one.of);
      continue;
    }
    text::Diagnostic d;
    d.severity = text::Severity::warning;
    d.code = "no-gain";
    d.span = one.span;
    d.message =
        "From here on `" + supply.name + "` is not cheaper than before; the line is left out.";
    d.advice = "A break is a lower price for all of a larger delivery.";
    diagnostics.add(std::move(d));
  }
  return out;
}

/// The terms of one supplier; what they do not say, the supply's own do. `pack` is the supply's.
Offer offer_of(const book::BuyingTerms& terms, const book::SupplyFacts& own,
               const language::Supply& supply, double pack, text::Diagnostics& diagnostics) {
  Offer out;
  out.pack = pack;
  if (&terms != &own && terms.pack) {
    out.pack = written_amount(*terms.pack, supply, 0, diagnostics).value_or(pack);
  }
  // What is said for the supply is said of its own pack.
  const double usual = pack > 0 ? pack : out.pack;
  const auto& price = terms.price ? terms.price : own.price;
  const auto& lead_time = terms.lead_time ? terms.lead_time : own.lead_time;
  const auto& minimum = terms.minimum ? terms.minimum : own.minimum;
  const auto& fee = terms.delivery ? terms.delivery : own.delivery;
  if (price) {
    out.price = price_of(*price, supply, terms.price ? out.pack : usual, diagnostics);
  }
  if (lead_time) out.lead_days = days_of(*lead_time);
  if (minimum) {
    const double of = terms.minimum ? out.pack : usual;
    out.minimum = written_amount(*minimum, supply, of, diagnostics).value_or(0);
  }
  if (fee) out.fee = fee->quantity.value;
  out.breaks = terms.breaks.empty() ? breaks_of(own, supply, out, usual, diagnostics)
                                    : breaks_of(terms, supply, out, out.pack, diagnostics);
  return out;
}

/// All that can be chosen among; an offer without a price cannot, where there are others.
std::vector<Offer> offers_of(const book::SupplyFacts& facts, const language::Supply& supply,
                             double pack, text::Diagnostics& diagnostics) {
  std::vector<Offer> out;
  for (const book::Offer& one : facts.offers) {
    Offer offer = offer_of(one, facts, supply, pack, diagnostics);
    offer.supplier = one.supplier.value;
    if (!offer.price && facts.offers.size() > 1) {
      diagnostics.error("no-price", one.supplier.span,
                        "The offer of `" + offer.supplier + "` for `" + supply.name +
                            "` has no price to compare.",
                        "Add `price:`, there or for the supply.");
      continue;
    }
    out.push_back(std::move(offer));
  }
  if (!out.empty()) return out;
  out.push_back(offer_of(facts, facts, supply, pack, diagnostics));
  if (facts.supplier) out.back().supplier = facts.supplier->value;
  return out;
}

void report_comes_back(text::Span span, const language::Supply& supply, const std::string& key,
                       text::Diagnostics& diagnostics) {
  diagnostics.error(
      "keeps-reused", span,
      "`" + supply.name + "` is used again and again, so `" + key + "` says nothing of it.",
      "Leave `" + key + "` out; it is for what is used up.");
}

/// How long it keeps, and what it costs to have it lie here.
void read_keeping(const book::SupplyFacts& facts, const language::Supply& supply,
                  SupplyTerms& terms, text::Diagnostics& diagnostics) {
  if (supply.reused) {
    if (facts.keeps) report_comes_back(facts.keeps->span, supply, "keeps", diagnostics);
    if (facts.use_by) report_comes_back(facts.use_by->span, supply, "use_by", diagnostics);
  } else {
    if (facts.keeps) {
      terms.keeps = static_cast<int>(units::round_down(facts.keeps->value / units::seconds_a_day));
    }
    if (facts.use_by) terms.parts.push_back({terms.on_hand, facts.use_by->value});
  }
  if (!facts.storage) return;
  constexpr double days_a_week = 7;
  const auto storage = price_of(*facts.storage, supply, terms.pack, diagnostics);
  terms.storage = storage.value_or(0) / days_a_week;
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
  if (found == site.supplies.end()) {
    terms.offers.emplace_back().pack = terms.pack;
    return terms;
  }
  const book::SupplyFacts& facts = found->second;
  terms.span = facts.span;
  if (facts.pack) {
    // A pack of packs would be nonsense.
    if (const auto pack = written_amount(*facts.pack, supply, 0, diagnostics)) terms.pack = *pack;
  }
  terms.offers = offers_of(facts, supply, terms.pack, diagnostics);
  const double pack = terms.offers.front().pack;
  const auto same = [&](const Offer& one) { return one.pack == pack; };
  if (std::all_of(terms.offers.begin(), terms.offers.end(), same)) terms.pack = pack;
  for (const Offer& one : terms.offers) {
    if (one.price) terms.price = std::min(terms.price.value_or(*one.price), *one.price);
  }
  if (facts.on_hand) {
    terms.on_hand = written_amount(*facts.on_hand, supply, terms.pack, diagnostics).value_or(0);
  }
  if (facts.scrap) terms.scrap = facts.scrap->value;
  read_keeping(facts, supply, terms, diagnostics);
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
