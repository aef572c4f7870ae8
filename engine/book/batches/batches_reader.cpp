#include "book/batches/batches_reader.hpp"

#include <algorithm>
#include <sstream>
#include <unordered_map>
#include <utility>

#include "book/batches/cultivars_reader.hpp"
#include "book/batches/demand_reader.hpp"
#include "book/batches/levelled_reader.hpp"
#include "book/batches/pins_reader.hpp"
#include "book/batches/series_reader.hpp"
#include "book/batches/trial_reader.hpp"
#include "book/limits.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"
#include "language/bases/layer.hpp"

namespace budwood::book {

namespace {

constexpr std::size_t longest_note = 2000;
/// About as many as a file has room for, so that a few lines cannot ask for more.
constexpr std::size_t most_batches = 200'000;

std::optional<Placed<std::string>> read_id(const Node& node, text::Diagnostics& diagnostics) {
  const auto id = read_line(node, {"batch", "a name", "A27-003"}, longest_line, diagnostics);
  if (!id) return std::nullopt;
  const bool fits = id->value.size() <= longest_batch_id &&
                    std::all_of(id->value.begin(), id->value.end(), [](char c) {
                      return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') ||
                             (c >= 'A' && c <= 'Z') || c == '-' || c == '_';
                    });
  if (fits) return id;
  diagnostics.error("bad-name", node.span, "This cannot be the name of a batch.",
                    "It has letters, digits, - and _ and at most " +
                        std::to_string(longest_batch_id) + " characters, such as `A27-003`.");
  return std::nullopt;
}

/// "bench_graft" or "bench_graft edition 2".
void read_protocol(const Node& node, Batch& batch, text::Diagnostics& diagnostics) {
  const Wanted wanted{"protocol", "a protocol's name and perhaps its edition",
                      "bench_graft edition 2"};
  const auto line = read_line(node, wanted, longest_line, diagnostics);
  if (!line) return;
  std::istringstream words(line->value);
  std::string name;
  std::string edition;
  std::string number;
  std::string more;
  words >> name >> edition >> number >> more;
  if (!edition.empty() && (edition != "edition" || number.empty() || !more.empty())) {
    report_wanted(node, wanted, diagnostics);
    return;
  }
  if (!check_name(name, node.span, diagnostics)) return;
  batch.protocol = {name, node.span};
  if (edition.empty()) return;
  Node part = node;
  part.value = number;
  const auto whole =
      read_whole(part, {"edition", "a whole number", "2"}, 1, last_edition, "", diagnostics);
  if (whole) batch.edition = Placed<int>{static_cast<int>(whole->value), node.span};
}

/// The batch follows that variant of its protocol: a protocol of its own.
void read_variant(const Node& node, Batch& batch, text::Diagnostics& diagnostics) {
  const auto line =
      read_line(node, {"variant", "the name of a variant", "splice"}, longest_line, diagnostics);
  if (!line || !check_name(line->value, node.span, diagnostics)) return;
  batch.protocol = {language::variant_name(batch.protocol.value, line->value), node.span};
}

void read_dates(const Fields& fields, const Placed<std::string>& id, Batch& batch,
                text::Diagnostics& diagnostics) {
  const std::pair<const char*, std::optional<Placed<calendar::Day>>*> keys[] = {
      {"ready", &batch.ready}, {"start", &batch.start}, {"not_before", &batch.not_before}};
  const Node* first = nullptr;
  bool any = false;
  for (const auto& [key, date] : keys) {
    any = any || fields.group(key) != nullptr;
    const Node* node = fields.get(key);
    if (node == nullptr) continue;
    if (first != nullptr) {
      diagnostics.add(
          {text::Severity::error,
           "two-dates",
           node->span,
           "A batch has one date: ready by a day, started on a day, or started not before one.",
           "Keep one of `ready`, `start` and `not_before`; the others follow from it. To fix the "
           "date of a stage as well, use `pins`.",
           {{first->span, "the other date"}}});
      return;
    }
    first = node;
    *date = read_date(key, *node, diagnostics);
  }
  if (any) return;
  if (!batch.promised.empty()) {
    batch.ready = {batch.promised.back().on, batch.promised.back().span};
    return;
  }
  diagnostics.error("missing-key", id.span, "This batch has no date.",
                    "Add `ready: 2027-05-10` or `start: 2027-02-01`.");
}

void read_lots(const Node* node, Batch& batch, text::Diagnostics& diagnostics) {
  const Wanted wanted{"lots", "a line for each supply", "scion_stick: row 4"};
  for (const Entry* entry : own_named_entries(node, wanted, diagnostics)) {
    const auto lot =
        read_line(entry->value, {entry->key, "a text", "row 4"}, longest_line, diagnostics);
    if (lot) batch.lots[entry->key] = *lot;
  }
}

/// The id alone is found even in a batch with other mistakes, so that a second use of it is seen.
struct ReadBatch {
  std::optional<Placed<std::string>> id;
  std::vector<Batch> batches;  ///< several in a series; none when there is a mistake
};

/// What is aimed at beyond the order.
void read_surplus(const Fields& fields, Batch& batch, text::Diagnostics& diagnostics) {
  if (const Node* spare = fields.get("spare")) batch.spare = read_spare(*spare, diagnostics);
  if (const Node* full = fields.get("full_trays")) {
    batch.full_trays = read_yes("full_trays", *full, diagnostics);
  }
}

ReadBatch read_batch(const Node& node, const Site& site, text::Diagnostics& diagnostics) {
  const std::size_t errors_before = diagnostics.count(text::Severity::error);
  ReadBatch result;
  const Fields fields(node, KeyMap::batch, diagnostics);
  if (!fields.usable()) return result;
  Batch batch;
  batch.span = node.span;
  if (const Node* id = fields.need("batch", "batch: A27-003")) {
    result.id = read_id(*id, diagnostics);
  }
  if (const Node* protocol = fields.need("protocol", "protocol: bench_graft edition 2")) {
    read_protocol(*protocol, batch, diagnostics);
  }
  if (const Node* variant = fields.get("variant")) read_variant(*variant, batch, diagnostics);
  // Others say how many plants are wanted.
  const bool told = fields.group("cultivars") != nullptr || fields.group("demand") != nullptr ||
                    fields.group("promised") != nullptr;
  const Node* plants = told ? fields.get("plants") : fields.need("plants", "plants: 600");
  if (fields.group("cultivars") != nullptr) plants = nullptr;
  if (plants != nullptr) {
    if (const auto number = read_plants(*plants, diagnostics)) batch.plants = *number;
  }
  read_wanted(fields, site, batch, diagnostics);
  read_dates(fields, result.id.value_or(Placed<std::string>{"", node.span}), batch, diagnostics);
  if (const Node* sure = fields.get("sure")) {
    batch.sure = read_sure(*sure, diagnostics);
  }
  read_surplus(fields, batch, diagnostics);
  read_lots(fields.group("lots"), batch, diagnostics);
  batch.set = read_inputs(fields.group("set"), "set", diagnostics);
  read_pins(fields.group("pins"), batch, diagnostics);
  read_recorded(fields.group("recorded"), batch, diagnostics);
  read_freedom(fields.get("early"), fields.get("late"), fields.get("priority"), batch, diagnostics);
  read_done(fields.group("done"), batch, diagnostics);
  if (const Node* note = fields.get("note")) {
    const auto text =
        read_text(*note, {"note", "a text", "for the spring sale"}, longest_note, diagnostics);
    if (text) batch.note = *text;
  }
  const std::vector<Cultivar> cultivars = read_cultivars(fields, diagnostics);
  const std::optional<TrialPlan> trial = read_trial(fields, diagnostics);
  const std::optional<Series> series = read_series(fields, diagnostics);
  if (!result.id || diagnostics.count(text::Severity::error) > errors_before) return result;
  batch.id = *result.id;
  if (series) {
    result.batches = spread(batch, *series, longest_batch_id, diagnostics);
  } else {
    result.batches.push_back(std::move(batch));
  }
  if (!cultivars.empty()) {
    result.batches = split_by_cultivar(result.batches, cultivars, longest_batch_id, diagnostics);
  }
  if (trial) result.batches = split_by_arm(result.batches, *trial, longest_batch_id, diagnostics);
  return result;
}

/// The names that batches have, each with the place of the first.
class Names {
 public:
  explicit Names(text::Diagnostics& diagnostics) : diagnostics_(diagnostics) {}

  /// Reports a name that is taken.
  bool add(const Placed<std::string>& id) {
    const auto [first, is_new] = used_.emplace(id.value, id.span);
    if (is_new) return true;
    diagnostics_.add({text::Severity::error,
                      "duplicate-batch",
                      id.span,
                      "There is a batch `" + id.value + "` already.",
                      "Give each batch a name of its own.",
                      {{first->second, "the first one"}}});
    return false;
  }

 private:
  std::unordered_map<std::string, text::Span> used_;
  text::Diagnostics& diagnostics_;
};

}  // namespace

std::vector<Batch> read_batches(const Node& tree, const Site& site,
                                text::Diagnostics& diagnostics) {
  std::vector<Batch> batches;
  const Fields fields(tree, KeyMap::batches, diagnostics);
  if (!fields.usable()) return batches;
  Batch usual;
  read_freedom(fields.get("early"), fields.get("late"), nullptr, usual, diagnostics);
  usual.sure = site.sure;
  if (const Node* sure = fields.get("sure")) usual.sure = read_sure(*sure, diagnostics);
  usual.spare = site.spare;
  usual.full_trays = site.full_trays;
  read_surplus(fields, usual, diagnostics);
  const Node* list = fields.group("batches");
  const bool none = list == nullptr || list->kind == Node::Kind::null ||
                    (list->kind == Node::Kind::list && list->items.empty());
  if (none) {
    diagnostics.error("no-batches", list == nullptr ? tree.span : list->span,
                      "This book has no batches.",
                      "Add one under `batches:`, beginning with `- batch: A27-003`.");
    return batches;
  }
  if (list->kind != Node::Kind::list) {
    report_wanted(*list, {"batches", "a list", "- batch: A27-003"}, diagnostics);
    return batches;
  }
  Names names(diagnostics);
  for (const Node& item : list->items) {
    ReadBatch read = read_batch(item, site, diagnostics);
    // A series keeps the name that it is written with to itself.
    if (!read.id || !names.add(*read.id)) continue;
    for (Batch& batch : read.batches) {
      if (batches.size() == most_batches) {
        diagnostics.error("too-many-batches", item.span,
                          "A book holds " + std::to_string(most_batches) + " batches at most.",
                          "Split the book.");
        return batches;
      }
      if (batch.id.value != read.id->value && !names.add(batch.id)) break;
      batch.usual_sure = usual.sure;
      if (!batch.sure) batch.sure = usual.sure;
      batch.usual_spare = usual.spare;
      if (!batch.spare) batch.spare = usual.spare;
      batch.usual_full_trays = usual.full_trays;
      if (!batch.full_trays) batch.full_trays = usual.full_trays;
      if (!batch.early) batch.early = usual.early;
      if (!batch.late) batch.late = usual.late;
      batches.push_back(std::move(batch));
    }
  }
  return batches;
}

}  // namespace budwood::book
