#include "book/batches/levelled_reader.hpp"

#include <algorithm>
#include <map>

#include "book/batches/pins_reader.hpp"
#include "book/limits.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"
#include "units/rounding.hpp"

namespace budwood::book {

namespace {

constexpr std::int64_t most_priority = 100;

/// "2 days", whole days.
std::optional<Placed<int>> read_days(std::string_view key, const Node& node,
                                     text::Diagnostics& diagnostics) {
  const Wanted wanted{key, "whole days, 0 to 366", "3 days"};
  constexpr double day = 86400;
  const auto time = read_time(node, wanted, longest_step * day, diagnostics);
  if (!time) return std::nullopt;
  const double days = time->value / day;
  const auto whole = static_cast<int>(days + 0.5);
  if (std::abs(days - whole) > units::slack(days, 1)) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  return Placed<int>{whole, node.span};
}

/// "grafting/2/1": a stage, a work and a turn.
bool is_order(const std::string& text) {
  const std::size_t first = text.find('/');
  if (first == std::string::npos || !is_name(text.substr(0, first))) return false;
  const std::string rest = text.substr(first + 1);
  return rest.find('/') != std::string::npos && std::all_of(rest.begin(), rest.end(), [](char c) {
           return (c >= '0' && c <= '9') || c == '/' || c == '.';
         });
}

std::vector<OrderDay> read_orders(std::string_view key, const Node* node,
                                  text::Diagnostics& diagnostics) {
  std::vector<OrderDay> orders;
  const Wanted wanted{key, "a line for each order", "grafting/2/1: 2027-03-02"};
  for (const Entry& entry : entries_of(node, wanted, diagnostics)) {
    if (!is_order(entry.key)) {
      diagnostics.error("bad-order", entry.key_span, "This does not name a work order.",
                        "Write it as the plan does, without the batch: `grafting/2/1`.");
      continue;
    }
    const auto day = read_date(entry.key, entry.value, diagnostics);
    if (day) orders.push_back({entry.key, day->value, entry.value.span});
  }
  return orders;
}

std::optional<Levelled> read_one(const Fields& fields, const Node& node,
                                 text::Diagnostics& diagnostics) {
  Levelled levelled;
  levelled.span = node.span;
  const Node* ready = fields.need("ready", "ready: 2027-05-10");
  const auto day = ready == nullptr ? std::nullopt : read_date("ready", *ready, diagnostics);
  if (!day) return std::nullopt;
  levelled.ready = day->value;
  levelled.dates = read_dates_of_stages(fields.group("dates"), "dates", diagnostics);
  levelled.orders = read_orders("orders", fields.group("orders"), diagnostics);
  return levelled;
}

}  // namespace

void read_freedom(const Node* early, const Node* late, const Node* priority, Batch& batch,
                  text::Diagnostics& diagnostics) {
  if (early != nullptr) batch.early = read_days("early", *early, diagnostics);
  if (late != nullptr) batch.late = read_days("late", *late, diagnostics);
  if (priority == nullptr) return;
  const auto whole =
      read_whole(*priority, {"priority", "a whole number", "3"}, 1, most_priority, "", diagnostics);
  if (whole) batch.priority = Placed<int>{static_cast<int>(whole->value), priority->span};
}

void read_done(const Node* node, Batch& batch, text::Diagnostics& diagnostics) {
  batch.done = read_orders("done", node, diagnostics);
}

void read_levelled(const Node& tree, std::vector<Batch>& batches, text::Diagnostics& diagnostics) {
  const Fields file(tree, KeyMap::levelled_file, diagnostics);
  if (!file.usable()) return;
  const Node* list = file.group("levelled");
  if (list == nullptr || list->kind == Node::Kind::null) return;
  if (list->kind != Node::Kind::list) {
    report_wanted(*list, {"levelled", "a list", "- batch: A27-003"}, diagnostics);
    return;
  }
  // The cultivars of a batch share its name and its dates.
  std::multimap<std::string, Batch*> by_name;
  for (Batch& batch : batches) by_name.emplace(batch.id.value, &batch);
  for (const Node& item : list->items) {
    const Fields fields(item, KeyMap::levelled, diagnostics);
    if (!fields.usable()) continue;
    const Node* name = fields.need("batch", "batch: A27-003");
    const auto id = name == nullptr
                        ? std::nullopt
                        : read_line(*name, {"batch", "a name", "A27-003"}, 200, diagnostics);
    const auto levelled = read_one(fields, item, diagnostics);
    if (!id || !levelled) continue;
    const auto [first, end] = by_name.equal_range(id->value);
    if (first == end) {
      diagnostics.warning("unknown-batch", id->span,
                          "There is no batch `" + id->value + "` any more.",
                          "Level the season again, and these dates go.");
    }
    for (auto batch = first; batch != end; ++batch) batch->second->levelled = *levelled;
  }
}

}  // namespace budwood::book
