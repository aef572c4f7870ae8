#include "book/stock/buying_reader.hpp"

#include <utility>

#include "book/yaml/single_values.hpp"
#include "book/yaml/value_readers.hpp"

namespace budwood::book {

namespace {

constexpr double longest_lead_time = 5 * 365 * units::seconds_a_day;
constexpr double longest_keeping = 10 * 365 * units::seconds_a_day;

constexpr std::string_view money_keys[] = {"price", "delivery", "storage"};

void collect_money(const Node& map, std::vector<const Node*>& found) {
  for (const Entry& entry : map.entries) {
    for (const std::string_view key : money_keys) {
      if (entry.key == key) found.push_back(&entry.value);
    }
    if (entry.key != "breaks") continue;
    for (const Entry& one : entry.value.entries) found.push_back(&one.value);
  }
}

/// Money for the whole of something: `35 EUR`, and not `35 EUR per pack`.
std::optional<Written> read_sum(const Node& node, const Wanted& wanted, MoneyReader& money,
                                text::Diagnostics& diagnostics) {
  auto sum = money.read(node, wanted);
  if (!sum || !sum->quantity.has_unit || sum->quantity.unit.dimension == units::money) return sum;
  report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

/// "10 packs: 21.50 per pack" a line.
void read_breaks(const Node* node, MoneyReader& money, BuyingTerms& terms,
                 text::Diagnostics& diagnostics) {
  if (node == nullptr) return;
  const Wanted wanted{"breaks", "a price for each amount from which it holds",
                      "{10 packs: 21.50 per pack}"};
  for (const Entry& entry : entries_of(node, wanted, diagnostics)) {
    Node key;
    key.kind = Node::Kind::scalar;
    key.span = entry.key_span;
    key.value = entry.key;
    auto from = read_amount(key, {"breaks", "an amount from which a price holds", "10 packs"},
                            false, diagnostics);
    auto price = money.read(entry.value, {"breaks", "an amount of money", "21.50 per pack"});
    if (from && price) terms.breaks.push_back({std::move(*from), std::move(*price)});
  }
}

void read_terms(const Fields& fields, MoneyReader& money, BuyingTerms& terms,
                text::Diagnostics& diagnostics) {
  if (const Node* node = fields.get("price")) {
    terms.price = money.read(*node, {"price", "an amount of money", "0.60"});
  }
  if (const Node* node = fields.get("lead_time")) {
    terms.lead_time = read_time(*node, {"lead_time", "a length of time", "14 days"},
                                longest_lead_time, diagnostics);
  }
  if (const Node* node = fields.get("pack")) {
    terms.pack =
        read_amount(*node, {"pack", "a number and perhaps a unit", "200"}, false, diagnostics);
  }
  if (const Node* node = fields.get("minimum")) {
    terms.minimum = read_amount(*node, {"minimum", "a number and perhaps a unit", "4 packs"}, false,
                                diagnostics);
  }
  if (const Node* node = fields.get("delivery")) {
    terms.delivery =
        read_sum(*node, {"delivery", "money for each delivery", "35.00"}, money, diagnostics);
  }
  read_breaks(fields.get("breaks"), money, terms, diagnostics);
}

void read_offers(const Node* node, MoneyReader& money, SupplyFacts& facts,
                 text::Diagnostics& diagnostics) {
  if (node == nullptr) return;
  const Wanted wanted{"offers", "a line for each supplier", "{Fen Peat: {price: 24.00 per pack}}"};
  for (const Entry* entry : own_named_entries(node, wanted, diagnostics)) {
    const Fields fields(entry->value, KeyMap::offer, diagnostics);
    if (!fields.usable()) continue;
    Offer offer;
    offer.supplier = {entry->key, entry->key_span};
    read_terms(fields, money, offer, diagnostics);
    facts.offers.push_back(std::move(offer));
  }
  if (!facts.supplier || facts.offers.empty()) return;
  diagnostics.error("several-suppliers", facts.supplier->span,
                    "`supplier` says who alone sells it, and `offers` names others.",
                    "Give each supplier a line under `offers`, and leave `supplier` out.");
}

/// How long something keeps that is bought: a whole day or more.
std::optional<Placed<double>> read_keeping(const Node& node, text::Diagnostics& diagnostics) {
  const auto time =
      read_time(node, {"keeps", "a length of time", "8 weeks"}, longest_keeping, diagnostics);
  if (!time || time->value >= units::seconds_a_day) return time;
  diagnostics.error("out-of-range", node.span, "`keeps` has to be a day or more.",
                    "What is bought is used on the day on which it comes, or later.");
  return std::nullopt;
}

}  // namespace

std::optional<Written> read_amount(const Node& node, const Wanted& wanted, bool zero_too,
                                   text::Diagnostics& diagnostics) {
  auto amount = read_quantity(node, wanted, UnitWords::counted_too, diagnostics);
  if (!amount) return std::nullopt;
  const double value = amount->quantity.value;
  if (value > 0 || (zero_too && value == 0)) return amount;
  diagnostics.error("out-of-range", node.span,
                    "`" + std::string(wanted.key) +
                        (zero_too ? "` cannot be less than 0." : "` has to be more than 0."));
  return std::nullopt;
}

void collect_prices(const Node* supplies, std::vector<const Node*>& found) {
  if (supplies == nullptr) return;
  for (const Entry& supply : supplies->entries) {
    collect_money(supply.value, found);
    const Node* offers = supply.value.find("offers");
    if (offers == nullptr) continue;
    for (const Entry& offer : offers->entries) collect_money(offer.value, found);
  }
}

void read_buying(const Fields& fields, MoneyReader& money, SupplyFacts& facts,
                 text::Diagnostics& diagnostics) {
  read_terms(fields, money, facts, diagnostics);
  if (const Node* node = fields.get("supplier")) {
    facts.supplier = read_line(*node, {"supplier", "who sells it", "Fen Peat"}, 64, diagnostics);
  }
  if (const Node* node = fields.get("keeps")) facts.keeps = read_keeping(*node, diagnostics);
  if (const Node* node = fields.get("storage")) {
    facts.storage = money.read(*node, {"storage", "an amount of money", "0.20 per pack"});
  }
  if (const Node* node = fields.get("use_by")) {
    facts.use_by = read_day(*node, {"use_by", "a date", "2027-06-30"}, diagnostics);
  }
  read_offers(fields.get("offers"), money, facts, diagnostics);
}

bool read_supply_value(const std::string& key, const SingleValue& value,
                       const std::optional<Placed<std::string>>& currency, SupplyFacts& facts,
                       text::Diagnostics& diagnostics) {
  Node map;
  map.kind = Node::Kind::map;
  map.span = value.span;
  map.entries.push_back({key, value.span, scalar_of(value)});
  text::Diagnostics found;
  MoneyReader money(currency, {}, found);
  const Fields fields(map, KeyMap::supply, found);
  if (const Node* node = fields.get("on_hand")) {
    facts.on_hand = read_amount(*node, on_hand_wanted, true, found);
  }
  read_buying(fields, money, facts, found);
  diagnostics.add_all(found);
  return !found.has_errors();
}

}  // namespace budwood::book
