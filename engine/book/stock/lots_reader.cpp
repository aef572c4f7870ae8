#include <cmath>
#include <sstream>

#include "book/limits.hpp"
#include "book/stock/stock_reader.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

std::optional<calendar::Day> split_day(Node& node, const Wanted& wanted,
                                       text::Diagnostics& diagnostics) {
  const std::size_t at = node.value.rfind(counted_on);
  if (node.kind != Node::Kind::scalar || at == std::string::npos) return std::nullopt;
  const std::string day = node.value.substr(at + counted_on.size());
  node.value.resize(at);
  return parse_day(day, node.span, wanted, diagnostics);
}

namespace {

const Wanted wanted_count{"count", "an amount, and perhaps the day on which it was counted",
                          "1480 on 2027-03-01"};

/// 0 or more.
std::optional<Written> read_lot_amount(const Node& node, text::Diagnostics& diagnostics) {
  auto count = read_quantity(node, wanted_count, UnitWords::counted_too, diagnostics);
  if (!count || count->quantity.value >= 0) return count;
  diagnostics.error("out-of-range", node.span, "`count` cannot be less than 0.");
  return std::nullopt;
}

/// "2000", "4 packs", "1480 on 2027-03-01".
void read_counted(const Node& node, Lot& lot, text::Diagnostics& diagnostics) {
  Node amount = node;
  const bool dated = node.value.find(counted_on) != std::string::npos;
  lot.counted = split_day(amount, wanted_count, diagnostics);
  if (dated && !lot.counted) return;
  if (auto count = read_lot_amount(amount, diagnostics)) lot.count = std::move(*count);
}

/// "176 of 200 on 2027-01-12".
std::optional<GerminationTest> read_test(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"test", "a count and the day of it", "176 of 200 on 2027-01-12"};
  Node count = node;
  const bool dated = node.value.find(counted_on) != std::string::npos;
  const auto day = split_day(count, wanted, diagnostics);
  if (dated && !day) return std::nullopt;
  std::istringstream words(node.kind == Node::Kind::scalar ? count.value : "");
  double good = -1;
  double of = -1;
  std::string between;
  std::string more;
  words >> good >> between >> of;
  const bool counted = !words.fail() && between == "of" && !(words >> more) &&
                       good == std::floor(good) && of == std::floor(of);
  if (!counted || !day) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  if (!(good >= 0 && of >= 1 && good <= of && of <= static_cast<double>(most_plants))) {
    diagnostics.error("out-of-range", node.span,
                      "`test` tells how many of how many came up, up to 10 million.",
                      "The first number is not larger than the second, such as `176 of 200 on "
                      "2027-01-12`.");
    return std::nullopt;
  }
  return GerminationTest{static_cast<std::int64_t>(good), static_cast<std::int64_t>(of), *day,
                         node.span};
}

std::optional<Lot> read_lot(const Entry& entry, text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  const Fields fields(entry.value, KeyMap::lot, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Lot lot;
  lot.span = entry.key_span;
  read_kind(fields, "the name of a supply", "stock_seed", lot.of, lot.cultivar, diagnostics);
  if (const Node* node = fields.need("count", "count: 2000")) {
    read_counted(*node, lot, diagnostics);
  }
  if (const Node* node = fields.get("test")) lot.test = read_test(*node, diagnostics);
  if (const Node* node = fields.get("use_by")) lot.use_by = read_date("use_by", *node, diagnostics);
  if (diagnostics.count(text::Severity::error) > before) return std::nullopt;
  return lot;
}

}  // namespace

std::optional<Written> read_lot_count(const SingleValue& value, text::Diagnostics& diagnostics) {
  return read_lot_amount(scalar_of(value), diagnostics);
}

void read_kind(const Fields& fields, const std::string& what, const std::string& example,
               Placed<std::string>& of, std::string& cultivar, text::Diagnostics& diagnostics) {
  if (const Node* node = fields.need("of", "of: " + example)) {
    const auto name = read_line(*node, {"of", what, example}, longest_line, diagnostics);
    if (name) of = *name;
  }
  if (const Node* node = fields.get("cultivar")) {
    const auto name = read_line(*node, {"cultivar", "a name", "Bonita"}, longest_line, diagnostics);
    if (name) cultivar = name->value;
  }
}

void read_site_lots(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"lots", "a line for each lot", "T-114: {of: stock_seed, count: 2000}"};
  for (const Entry* entry : own_named_entries(node, wanted, diagnostics)) {
    if (entry->key.find(',') != std::string::npos) {
      diagnostics.error("bad-name", entry->key_span,
                        "A comma cannot be in the name of a lot: it stands between two of them.");
    } else if (auto lot = read_lot(*entry, diagnostics)) {
      site.lots.emplace(entry->key, std::move(*lot));
    } else {
      site.lots_unread = true;
    }
  }
}

}  // namespace budwood::book
