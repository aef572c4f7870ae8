#include "book/batches/cultivars_reader.hpp"

#include "book/limits.hpp"

namespace budwood::book {

namespace {

constexpr std::size_t most_cultivars = 200;
constexpr std::size_t longest_cultivar = 80;

}  // namespace

std::vector<Cultivar> read_cultivars(const Fields& fields, text::Diagnostics& diagnostics) {
  const Node* node = fields.group("cultivars");
  if (node == nullptr) return {};
  if (const Node* plants = fields.group("plants")) {
    diagnostics.add({text::Severity::error,
                     "two-counts",
                     plants->span,
                     "The plants of this batch are counted by cultivar.",
                     "Take out `plants`, or `cultivars`.",
                     {{node->span, "the cultivars"}}});
    return {};
  }
  if (node->kind != Node::Kind::map || node->entries.empty() ||
      node->entries.size() > most_cultivars) {
    report_wanted(*node,
                  {"cultivars", "1 to 200 lines, a number of plants for each", "{Bonita: 200}"},
                  diagnostics);
    return {};
  }
  std::vector<Cultivar> out;
  for (const Entry& entry : node->entries) {
    if (entry.key.empty() || entry.key.size() > longest_cultivar) {
      diagnostics.error("bad-name", entry.value.span, "A cultivar has a name of up to 80 letters.");
      return {};
    }
    const auto number = read_whole(entry.value, {entry.key, "a whole number", "200"}, 1,
                                   most_plants, "plants", diagnostics);
    if (!number) return {};
    out.push_back({entry.key, *number});
  }
  return out;
}

std::vector<Batch> split_by_cultivar(const std::vector<Batch>& batches,
                                     const std::vector<Cultivar>& cultivars, std::size_t longest_id,
                                     text::Diagnostics& diagnostics) {
  std::vector<Batch> out;
  for (const Batch& batch : batches) {
    if (!batch.counted.empty()) {
      diagnostics.error("two-counts", batch.counted.front().span,
                        "Of which cultivar these plants are is not known.",
                        "Write a batch for each cultivar once plants have been counted.");
      return {};
    }
    for (std::size_t i = 0; i < cultivars.size(); ++i) {
      Batch one = batch;
      one.split_from = batch.id.value;
      one.id.value += "-c" + std::to_string(i + 1);
      if (one.id.value.size() > longest_id) {
        diagnostics.error(
            "bad-name", batch.id.span,
            "One of its cultivars would be called `" + one.id.value + "`, which is too long.",
            "A batch has a name of at most " + std::to_string(longest_id) +
                " characters, the number of the cultivar included.");
        return {};
      }
      one.plants = cultivars[i].plants;
      one.cultivar = cultivars[i].name;
      one.lead = i == 0;
      out.push_back(std::move(one));
    }
  }
  return out;
}

}  // namespace budwood::book
