#include "book/limits.hpp"
#include "book/stock/stock_reader.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

namespace {

/// "40", "40 on 2029-03-05".
void read_number(const Node& node, Finished& finished, text::Diagnostics& diagnostics) {
  const Wanted wanted{"plants", "a whole number, and perhaps the day on which they were counted",
                      "40 on 2029-03-05"};
  Node number = node;
  const bool dated = node.value.find(counted_on) != std::string::npos;
  finished.counted = split_day(number, wanted, diagnostics);
  if (dated && !finished.counted) return;
  if (const auto plants = read_count("plants", number, diagnostics)) {
    finished.plants = plants->value;
  }
}

std::optional<Finished> read_some_finished(const Entry& entry, text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  const Fields fields(entry.value, KeyMap::finished, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Finished out;
  out.span = entry.key_span;
  read_kind(fields, "the name of a protocol", "plug_pansies", out.of, out.cultivar, diagnostics);
  if (const Node* node = fields.need("plants", "plants: 40")) read_number(*node, out, diagnostics);
  if (const Node* node = fields.get("from")) out.from = read_date("from", *node, diagnostics);
  if (const Node* node = fields.get("until")) out.until = read_date("until", *node, diagnostics);
  if (out.from && out.until && out.until->value < out.from->value) {
    diagnostics.error("out-of-range", out.until->span,
                      "`until` comes before `from`, so these plants serve nobody.");
  } else if (out.counted && out.until && out.until->value < *out.counted) {
    diagnostics.error("out-of-range", out.until->span,
                      "`until` comes before the day of the count, so these plants serve nobody.");
  }
  if (diagnostics.count(text::Severity::error) > before) return std::nullopt;
  return out;
}

}  // namespace

void read_finished(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"finished", "a line for each lot of plants",
                      "pansies_east: {of: plug_pansies, plants: 40, until: 2029-04-30}"};
  for (const Entry* entry : own_named_entries(node, wanted, diagnostics)) {
    if (site.lots.contains(entry->key) || site.mothers.contains(entry->key)) {
      diagnostics.error("same-name", entry->key_span,
                        "`" + entry->key + "` is the name of a lot or of mothers already.",
                        "Give one of them another name.");
    } else if (auto finished = read_some_finished(*entry, diagnostics)) {
      site.finished.emplace(entry->key, std::move(*finished));
    }
  }
}

void read_surplus(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"surplus", "a line for each protocol", "plug_pansies: 3 weeks"};
  for (const Entry& entry : entries_of(node, wanted, diagnostics)) {
    const auto days = read_whole_days(entry.value, {entry.key, "whole days or weeks", "3 weeks"},
                                      longest_step * units::seconds_a_day, diagnostics);
    if (days) site.surplus[entry.key] = Placed<int>{*days, entry.key_span};
  }
}

}  // namespace budwood::book
