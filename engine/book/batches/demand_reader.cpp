#include "book/batches/demand_reader.hpp"

#include <algorithm>
#include <set>
#include <string>
#include <utility>

#include "book/limits.hpp"
#include "book/site/money_reader.hpp"
#include "book/yaml/single_values.hpp"
#include "book/yaml/value_readers.hpp"

namespace budwood::book {

namespace {

constexpr std::size_t most_promises = 200;
constexpr std::size_t longest_name = 200;

std::optional<Written> read_loss(const Node& node, const char* key, const Site& site,
                                 text::Diagnostics& diagnostics) {
  const Wanted wanted{key, "the money that is lost on one plant", "0.80"};
  MoneyReader money(site.currency, {}, diagnostics);
  auto out = money.read(node, wanted);
  if (!out || !out->quantity.has_unit || out->quantity.unit.dimension == units::money) return out;
  report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

std::optional<Placed<std::int64_t>> read_number(const Node* node, const char* key,
                                                text::Diagnostics& diagnostics) {
  if (node == nullptr) return std::nullopt;
  return read_whole(*node, {key, "a whole number", "500"}, 0, most_plants, "plants", diagnostics);
}

std::optional<Demand> read_demand(const Node& node, const Site& site,
                                  text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::demand, diagnostics);
  if (!fields.usable()) return std::nullopt;
  const auto least = read_number(fields.need("least", "least: 400"), "least", diagnostics);
  const auto usual = read_number(fields.need("usual", "usual: 500"), "usual", diagnostics);
  const auto most = read_number(fields.need("most", "most: 600"), "most", diagnostics);
  const Node* many = fields.need("too_many", "too_many: 0.80");
  const Node* few = fields.need("too_few", "too_few: 3.20");
  auto too_many = many == nullptr ? std::nullopt : read_loss(*many, "too_many", site, diagnostics);
  auto too_few = few == nullptr ? std::nullopt : read_loss(*few, "too_few", site, diagnostics);
  if (!least || !usual || !most || !too_many || !too_few) return std::nullopt;
  Demand out{*least, *usual, *most, std::move(*too_many), std::move(*too_few), node.span};
  return check_demand(out, diagnostics) ? std::optional(std::move(out)) : std::nullopt;
}

std::optional<Promise> read_promise(const Node& node, text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::promised, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Promise out;
  out.span = node.span;
  const Node* plants = fields.need("plants", "plants: 200");
  const Node* on = fields.need("on", "on: 2027-04-02");
  const auto number = plants == nullptr ? std::nullopt : read_plants(*plants, diagnostics);
  const auto day =
      on == nullptr ? std::nullopt : read_day(*on, {"on", "a date", "2027-04-02"}, diagnostics);
  if (const Node* whose = fields.get("for")) {
    const auto line =
        read_line(*whose, {"for", "a text", "Garden fair"}, longest_name, diagnostics);
    if (line) out.whose = line->value;
  }
  if (!number || !day) return std::nullopt;
  out.plants = number->value;
  out.on = day->value;
  return out;
}

void read_promises(const Node& node, Batch& batch, text::Diagnostics& diagnostics) {
  if (node.kind != Node::Kind::list || node.items.empty() || node.items.size() > most_promises) {
    report_wanted(node, {"promised", "1 to 200 entries", "[{plants: 200, on: 2027-04-02}]"},
                  diagnostics);
    return;
  }
  for (const Node& item : node.items) {
    if (auto one = read_promise(item, diagnostics)) batch.promised.push_back(std::move(*one));
  }
  std::stable_sort(batch.promised.begin(), batch.promised.end(),
                   [](const Promise& one, const Promise& other) { return one.on < other.on; });
}

/// Both are of one number of plants, ready by one date.
void check_alone(const Fields& fields, const char* key, text::Diagnostics& diagnostics) {
  const Node* node = fields.group(key);
  if (node == nullptr) return;
  for (const char* other : {"cultivars", "trial", "every"}) {
    const Node* split = fields.group(other);
    if (split == nullptr) continue;
    diagnostics.add({text::Severity::error,
                     "wanted-of-several",
                     node->span,
                     "`" + std::string(key) + "` is of one batch, and `" + other +
                         "` makes several of this one.",
                     "Write a batch for each.",
                     {{split->span, "It is divided here."}}});
    return;
  }
}

}  // namespace

bool check_demand(const Demand& demand, text::Diagnostics& diagnostics) {
  const bool ascending =
      demand.least.value <= demand.usual.value && demand.usual.value <= demand.most.value;
  if (!ascending) {
    diagnostics.error(
        "demand-order", demand.span,
        "`least`, `usual` and `most` do not ascend: " + std::to_string(demand.least.value) + ", " +
            std::to_string(demand.usual.value) + ", " + std::to_string(demand.most.value) + ".",
        "Such as `least: 400, usual: 500, most: 600`.");
    return false;
  }
  if (demand.most.value == 0 ||
      demand.too_many.quantity.value + demand.too_few.quantity.value <= 0) {
    diagnostics.error("out-of-range", demand.span,
                      demand.most.value == 0
                          ? "`most` has to be more than 0."
                          : "`too_many` and `too_few` cannot both be 0: then no number is better "
                            "than another.");
    return false;
  }
  return true;
}

std::optional<Written> read_loss_of_plant(const std::string& key, const SingleValue& value,
                                          const Site& site, text::Diagnostics& diagnostics) {
  return read_loss(scalar_of(value), key.c_str(), site, diagnostics);
}

void read_wanted(const Fields& fields, const Site& site, Batch& batch,
                 text::Diagnostics& diagnostics) {
  check_alone(fields, "demand", diagnostics);
  check_alone(fields, "promised", diagnostics);
  if (const Node* node = fields.get("demand")) {
    batch.demand = read_demand(*node, site, diagnostics);
  }
  if (const Node* node = fields.get("promised")) read_promises(*node, batch, diagnostics);
  if (fields.group("plants") != nullptr || fields.group("cultivars") != nullptr) return;
  if (batch.demand) batch.plants = batch.demand->usual;
  if (batch.demand && batch.plants.value == 0) batch.plants.value = 1;
  if (batch.promised.empty()) return;
  batch.plants = {0, batch.promised.front().span};
  for (const Promise& one : batch.promised) batch.plants.value += one.plants;
  if (batch.plants.value <= most_plants) return;
  diagnostics.error("out-of-range", batch.plants.span, "More is promised than a batch can hold.",
                    "Split it.");
}

namespace {

/// A batch for each day on which plants are promised. What is wanted and not promised comes with
/// the last.
void split(const Batch& batch, std::set<std::string>& names, std::vector<Batch>& out) {
  const auto& all = batch.promised;
  std::int64_t left = batch.plants.value;
  int number = 0;
  for (auto at = all.begin(); at != all.end();) {
    Batch one = batch;
    const auto end =
        std::find_if(at, all.end(), [&](const Promise& other) { return other.on != at->on; });
    do {
      one.id.value = batch.id.value + "-" + std::to_string(++number);
    } while (!names.insert(one.id.value).second);
    one.promised.assign(at, end);
    one.ready = {at->on, at->span};
    one.plants.value = 0;
    for (const Promise& promise : one.promised) one.plants.value += promise.plants;
    left -= one.plants.value;
    if (end == all.end()) one.plants.value += std::max<std::int64_t>(left, 0);
    out.push_back(std::move(one));
    at = end;
  }
}

}  // namespace

std::vector<Batch> split_by_promise(const std::vector<Batch>& wanted) {
  std::set<std::string> names;
  for (const Batch& batch : wanted) names.insert(batch.id.value);
  std::vector<Batch> out;
  for (const Batch& batch : wanted) {
    const auto& all = batch.promised;
    // A demand is of the batch as a whole.
    const bool by_promise = !batch.demand && !all.empty() && all.front().on != all.back().on &&
                            batch.ready && batch.ready->span.begin == all.back().span.begin;
    if (by_promise) {
      split(batch, names, out);
    } else {
      out.push_back(batch);
    }
  }
  return out;
}

}  // namespace budwood::book
