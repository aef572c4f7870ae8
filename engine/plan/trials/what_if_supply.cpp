#include "plan/trials/what_if_supply.hpp"

#include "book/yaml/single_values.hpp"
#include "plan/needs/supply_terms.hpp"
#include "plan/plan.hpp"
#include "units/units.hpp"

namespace budwood::plan {

namespace {

using book::SupplyFacts;

/// A value of a supply as it is written: in base units of `unit`.
struct SupplyValue {
  double base = Change::none;
  units::Unit unit;
};

SupplyValue of_quantity(const std::optional<book::Written>& written) {
  if (!written) return {};
  return {written->quantity.base(), written->quantity.unit};
}

SupplyValue of_time(const std::optional<book::Placed<double>>& time) {
  const double seconds = time ? time->value : 0;
  return {time ? seconds : Change::none, units::usual_unit(units::time, seconds)};
}

/// What is changed: a value of the supply, or of one of its offers.
struct SupplyTarget {
  std::string what;
  book::BuyingTerms* terms =
      nullptr;  ///< of the supply or the offer; nullptr: there is no such offer
  bool of_offer = false;

  bool known() const {
    if (terms == nullptr) return false;
    if (what == "price" || what == "minimum" || what == "lead_time") return true;
    return !of_offer && (what == "on_hand" || what == "keeps");
  }
};

/// "price", "Fen Peat.price".
SupplyTarget target_of(SupplyFacts& facts, const std::string& what) {
  const std::size_t dot = what.rfind('.');
  if (dot == std::string::npos) return {what, &facts, false};
  SupplyTarget out{what.substr(dot + 1), nullptr, true};
  for (book::Offer& one : facts.offers) {
    if (one.supplier.value == what.substr(0, dot)) out.terms = &one;
  }
  return out;
}

SupplyValue value_of(const SupplyFacts& facts, const SupplyTarget& target) {
  if (target.what == "price") return of_quantity(target.terms->price);
  if (target.what == "on_hand") return of_quantity(facts.on_hand);
  if (target.what == "minimum") return of_quantity(target.terms->minimum);
  return of_time(target.what == "keeps" ? facts.keeps : target.terms->lead_time);
}

/// Reads a value and puts it in its place. False when it cannot be read.
bool put(const SupplyTarget& target, const book::SingleValue& value, const book::Site& site,
         SupplyFacts& facts, text::Diagnostics& diagnostics) {
  SupplyFacts read;
  if (!book::read_supply_value(target.what, value, site.currency, read, diagnostics)) return false;
  if (read.price) target.terms->price = read.price;
  if (read.minimum) target.terms->minimum = read.minimum;
  if (read.lead_time) target.terms->lead_time = read.lead_time;
  if (read.on_hand) facts.on_hand = read.on_hand;
  if (read.keeps) facts.keeps = read.keeps;
  return true;
}

/// A number alone is in the unit in which the value is written.
book::SingleValue in_unit(book::SingleValue value, const units::Unit& unit) {
  const auto parsed = units::parse_quantity(value.text);
  if (parsed && !parsed->has_unit && !unit.symbol.empty()) value.text += " " + unit.symbol;
  return value;
}

/// Whether a site's word for a supply fits it; what does not is reported.
bool fits_supply(const Plan& plan, const std::string& supply, const book::Site& site,
                 text::Diagnostics& diagnostics) {
  const book::KnownSupplies known = supplies_of(plan);
  const auto found = known.find(supply);
  if (found == known.end()) return true;
  text::Diagnostics before;
  supply_terms(plan.book->site, *found->second, before);
  text::Diagnostics after;
  supply_terms(site, *found->second, after);
  if (!after.has_errors() || before.has_errors()) return true;
  for (const text::Diagnostic& d : after.sorted()) diagnostics.add(d);
  return false;
}

}  // namespace

const char* const supply_values =
    "Of a supply there are `price`, `on_hand`, `minimum`, `lead_time` and `keeps`; of an offer "
    "`site.SUPPLY.SUPPLIER.price`, `minimum` and `lead_time`.";

void change_supply(const Plan& plan, const Wish& wish, const std::string& supply,
                   const std::string& what, WhatIf& out, text::Diagnostics& diagnostics) {
  SupplyFacts& facts = out.book.site.supplies[supply];
  const SupplyTarget target = target_of(facts, what);
  if (!target.known()) {
    diagnostics.error("unknown-name", wish.cell_span,
                      "The site has no `" + text::shortened(wish.cell) + "` to set.",
                      supply_values);
    return;
  }
  const SupplyValue before = value_of(facts, target);
  const auto note = [&](const SupplyValue& after) {
    const units::Unit& unit = after.unit.symbol.empty() ? before.unit : after.unit;
    out.changes.push_back(
        {"", wish.cell, Change::Kind::quantity, unit, before.base, after.base, ""});
  };
  if (wish.move.kind == Move::Kind::give_up) {
    if (target.what == "keeps") {
      facts.keeps.reset();
    } else if (target.what == "minimum") {
      target.terms->minimum.reset();
    } else {
      diagnostics.error("wrong-value", wish.value.span,
                        "`" + wish.left + "` is not something to give up.",
                        "Say what it shall be.");
      return;
    }
    return note({});
  }
  const auto wanted = wanted_quantity(wish, before.base, before.unit, diagnostics);
  if (!wanted) return;
  const auto value = in_unit(*wanted, before.unit);
  if (!put(target, value, out.book.site, facts, diagnostics)) return;
  if (fits_supply(plan, supply, out.book.site, diagnostics)) note(value_of(facts, target));
}

}  // namespace budwood::plan
