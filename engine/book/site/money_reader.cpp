#include "book/site/money_reader.hpp"

#include <utility>

namespace budwood::book {

namespace {

constexpr std::string_view any_currency = "money";

/// "12 EUR per pack" as the quotient that units know: "12 EUR/pack". "12 per pack" is one already.
Node as_quotient(const Node& node) {
  constexpr std::string_view per = " per ";
  Node out = node;
  const std::size_t at = out.value.find(per);
  const bool after_unit = at != std::string::npos && at > 0 &&
                          (out.value[at - 1] < '0' || out.value[at - 1] > '9') &&
                          out.value[at - 1] != ' ';
  if (after_unit) out.value.replace(at, per.size(), "/");
  return out;
}

/// The currency that a unit names: "EUR" of "EUR/L"; "" when it names none.
std::string currency_of(const units::Unit& unit) {
  if (unit.dimension.power(units::Base::money) != 1) return {};
  std::string code = unit.symbol.substr(0, unit.symbol.find('/'));
  return code == any_currency ? std::string() : code;
}

/// Money, or what stands without any: "12", "12 per pack".
bool is_money(const units::Parsed& quantity) {
  if (!quantity.has_unit) return true;
  return quantity.unit.dimension.power(units::Base::money) == 1 ||
         quantity.unit.symbol.starts_with("per ");
}

}  // namespace

MoneyReader::MoneyReader(const std::optional<Placed<std::string>>& stated,
                         const std::vector<const Node*>& prices, text::Diagnostics& diagnostics)
    : currency_(stated), stated_(stated.has_value()), diagnostics_(diagnostics) {
  for (const Node* price : prices) {
    if (currency_ || price->kind != Node::Kind::scalar) continue;
    const auto parsed = units::parse_quantity(as_quotient(*price).value);
    if (!parsed || !parsed->has_unit) continue;
    std::string code = currency_of(parsed->unit);
    if (!code.empty()) currency_ = Placed<std::string>{std::move(code), price->span};
  }
}

std::optional<Written> MoneyReader::read(const Node& node, const Wanted& wanted) {
  auto price = read_quantity(as_quotient(node), wanted, UnitWords::only_known, diagnostics_);
  if (!price) return std::nullopt;
  price->text = node.value;
  if (!is_money(price->quantity)) {
    report_wanted(node, wanted, diagnostics_);
    return std::nullopt;
  }
  if (price->quantity.value < 0) {
    diagnostics_.error("out-of-range", node.span,
                       "`" + std::string(wanted.key) + "` cannot be less than 0.");
    return std::nullopt;
  }
  if (!check_currency(*price, std::string(wanted.key))) return std::nullopt;
  return price;
}

bool MoneyReader::check_currency(const Written& price, const std::string& key) {
  const std::string code = currency_of(price.quantity.unit);
  if (!currency_ || code == currency_->value || (code.empty() && stated_)) return true;
  text::Diagnostic d;
  d.span = price.span;
  d.related.push_back({currency_->span, stated_ ? "the site's currency" : "the first price"});
  if (code.empty()) {
    d.code = "no-currency";
    d.message =
        "This `" + key + "` names no currency, and another one is in " + currency_->value + ".";
    d.advice = "Add `currency: " + currency_->value + "` to site.yaml if all of them are in it.";
  } else {
    d.code = "other-currency";
    d.message = "This " + key + " is in " + code + ", and " +
                (stated_ ? "the site counts" : "another one is") + " in " + currency_->value + ".";
    d.advice = "A book uses one currency.";
  }
  diagnostics_.add(std::move(d));
  return false;
}

}  // namespace budwood::book
