#include "book/batches/trial_reader.hpp"

#include <algorithm>
#include <set>

#include "book/limits.hpp"
#include "language/bases/layer.hpp"

namespace budwood::book {

namespace {

constexpr std::size_t most_arms = 26;  // as many as there are letters
constexpr int most_trays = 1000;
constexpr std::size_t most_blocks = 100;
constexpr std::int64_t largest_seed = 1'000'000'000;

std::optional<TrialPlan::Arm> read_arm(const Entry& entry, text::Diagnostics& diagnostics) {
  TrialPlan::Arm arm;
  arm.name = entry.key;
  if (entry.value.kind == Node::Kind::null) return arm;
  const Fields fields(entry.value, KeyMap::arm, diagnostics);
  if (!fields.usable()) return std::nullopt;
  if (const Node* variant = fields.get("variant")) {
    arm.variant = read_line(*variant, {"variant", "the name of a variant", "splice"}, longest_line,
                            diagnostics);
    if (!arm.variant || !check_name(arm.variant->value, variant->span, diagnostics)) {
      return std::nullopt;
    }
  }
  arm.set = read_inputs(fields.group("set"), "set", diagnostics);
  return arm;
}

std::vector<TrialPlan::Arm> read_arms(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"arms", "2 to 26 lines, one for each technique", "clip: {variant: clipped}"};
  if (node.kind != Node::Kind::map || node.entries.size() < 2 || node.entries.size() > most_arms) {
    report_wanted(node, wanted, diagnostics);
    return {};
  }
  std::vector<TrialPlan::Arm> out;
  for (const Entry* entry : own_named_entries(&node, wanted, diagnostics)) {
    auto arm = read_arm(*entry, diagnostics);
    if (!arm) return {};
    out.push_back(std::move(*arm));
  }
  return out;
}

/// A list of names, or a number of blocks without names; one block when nothing is said.
std::vector<std::string> read_blocks(const Node* node, text::Diagnostics& diagnostics) {
  std::vector<std::string> out;
  if (node == nullptr) return {""};
  const Wanted wanted{"blocks", "a list of 1 to 100 places, days or people", "[left, right]"};
  if (node->kind != Node::Kind::list || node->items.empty() || node->items.size() > most_blocks) {
    report_wanted(*node, wanted, diagnostics);
    return {};
  }
  std::set<std::string> seen;
  for (const Node& item : node->items) {
    const auto name = read_line(item, wanted, longest_line, diagnostics);
    if (!name) return {};
    if (!seen.insert(name->value).second) {
      diagnostics.error("repeated-value", item.span,
                        "There is a block `" + name->value + "` already.",
                        "Give each block a name of its own.");
      return {};
    }
    out.push_back(name->value);
  }
  return out;
}

}  // namespace

std::optional<TrialPlan> read_trial(const Fields& fields, text::Diagnostics& diagnostics) {
  const Node* node = fields.group("trial");
  if (node == nullptr) return std::nullopt;
  const std::size_t before = diagnostics.count(text::Severity::error);
  const Fields trial(*node, KeyMap::trial, diagnostics);
  if (!trial.usable()) return std::nullopt;
  TrialPlan out;
  out.span = node->span;
  if (const Node* arms = trial.need("arms", "arms: {tape: {}, clip: {variant: clipped}}")) {
    out.arms = read_arms(*arms, diagnostics);
  }
  const Node* trays = trial.need("trays", "trays: 6");
  if (trays != nullptr) {
    const auto number =
        read_whole(*trays, {"trays", "a whole number", "6"}, 2, most_trays, "trays", diagnostics);
    if (number) out.trays = static_cast<int>(number->value);
  }
  out.blocks = read_blocks(trial.group("blocks"), diagnostics);
  if (const Node* seed = trial.need("seed", "seed: 2027")) {
    const auto number =
        read_whole(*seed, {"seed", "a whole number", "2027"}, 0, largest_seed, "", diagnostics);
    if (number) out.seed = static_cast<std::uint64_t>(number->value);
  }
  if (fields.group("cultivars") != nullptr) {
    diagnostics.error("two-splits", node->span,
                      "A batch is divided by cultivars or by the arms of a trial, not by both.",
                      "Write a trial for each cultivar.");
  }
  if (diagnostics.count(text::Severity::error) > before) return std::nullopt;
  const int blocks = static_cast<int>(out.blocks.size());
  if (out.trays % blocks != 0) {
    diagnostics.error("uneven-trial", trays->span,
                      std::to_string(out.trays) + " trays an arm cannot be spread evenly over " +
                          std::to_string(blocks) + " blocks.",
                      "Take " + std::to_string((out.trays / blocks + 1) * blocks) +
                          " trays an arm, so that every "
                          "block holds as many trays of each arm.");
    return std::nullopt;
  }
  return out;
}

std::vector<Batch> split_by_arm(const std::vector<Batch>& batches, const TrialPlan& trial,
                                std::size_t longest_id, text::Diagnostics& diagnostics) {
  std::vector<Batch> out;
  const int arms = static_cast<int>(trial.arms.size());
  const auto trays = draw_trays(arms, trial.trays, trial.blocks, trial.seed);
  const auto letters = draw_letters(arms, trial.seed);
  for (const Batch& batch : batches) {
    if (!batch.counted.empty()) {
      diagnostics.error("two-counts", batch.counted.front().span,
                        "Of which arm of the trial these plants are is not known.",
                        "Note counts in the record, for each arm and tray.");
      return {};
    }
    std::vector<Batch> of_trial;
    for (int i = 0; i < arms; ++i) {
      const TrialPlan::Arm& arm = trial.arms[static_cast<std::size_t>(i)];
      const char letter = letters[static_cast<std::size_t>(i)];
      Batch one = batch;
      one.split_from = batch.id.value;
      one.id.value += std::string("-") + letter;
      if (one.id.value.size() > longest_id) {
        diagnostics.error(
            "bad-name", batch.id.span,
            "One of its arms would be called `" + one.id.value + "`, which is too long.",
            "A batch has a name of at most " + std::to_string(longest_id) +
                " characters, the letter of the arm included.");
        return {};
      }
      one.plants.value = (batch.plants.value + arms - 1) / arms;
      if (arm.variant) {
        one.protocol = {
            language::variant_name(language::method_of(batch.protocol.value), arm.variant->value),
            arm.variant->span};
      }
      for (const auto& [name, value] : arm.set) one.set.insert_or_assign(name, value);
      one.trial = Trial{batch.id.value, arm.name,    letter,
                        arms,           trial.trays, static_cast<int>(trial.blocks.size()),
                        trays,          trial.span};
      of_trial.push_back(std::move(one));
    }
    // By letter: the order of the file would tell which arm is which.
    std::sort(of_trial.begin(), of_trial.end(),
              [](const Batch& a, const Batch& b) { return a.trial->letter < b.trial->letter; });
    std::move(of_trial.begin(), of_trial.end(), std::back_inserter(out));
  }
  return out;
}

}  // namespace budwood::book
