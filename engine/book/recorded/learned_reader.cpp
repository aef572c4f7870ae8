#include "book/recorded/learned_reader.hpp"

#include <set>
#include <tuple>

#include "book/limits.hpp"
#include "book/write/scalars.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"
#include "language/bases/layer.hpp"

namespace budwood::book {

namespace {

std::optional<Placed<std::string>> read_method(const Node& node, text::Diagnostics& diagnostics) {
  const auto line =
      read_line(node, {"protocol", "a name", "bench_graft"}, longest_line, diagnostics);
  if (!line) return std::nullopt;
  const std::string variant = language::variant_of(line->value);
  if (!check_name(language::method_of(line->value), node.span, diagnostics)) return std::nullopt;
  if (!variant.empty() && !check_name(variant, node.span, diagnostics)) return std::nullopt;
  return line;
}

/// Words that only people read.
std::string read_words(std::string_view key, const Node* node, text::Diagnostics& diagnostics) {
  if (node == nullptr) return "";
  const auto line = read_line(*node, {key, "a line of text", "412 of 520 in 6 batches"},
                              longest_line, diagnostics);
  return line ? line->value : "";
}

std::optional<LearnedValue> read_one(const Node& node, text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::learned, diagnostics);
  if (!fields.usable()) return std::nullopt;
  const Node* protocol = fields.need("protocol", "protocol: bench_graft");
  const Node* edition = fields.need("edition", "edition: 1");
  const Node* input = fields.need("input", "input: graft_take");
  const Node* value = fields.need("value", "value: 79 % seen 412 of 520 in 6 batches spread 5 %");
  const Node* usual = fields.need("usual", "usual: 85 %");
  const Node* day = fields.need("day", "day: 2027-09-30");
  if (protocol == nullptr || edition == nullptr || input == nullptr || value == nullptr ||
      usual == nullptr || day == nullptr) {
    return std::nullopt;
  }
  LearnedValue out;
  out.span = node.span;
  const auto method = read_method(*protocol, diagnostics);
  const auto number =
      read_whole(*edition, {"edition", "a whole number", "2"}, 1, last_edition, "", diagnostics);
  const auto name =
      read_line(*input, {"input", "the name of an input", "graft_take"}, longest_line, diagnostics);
  if (!method || !number || !name || !check_name(name->value, input->span, diagnostics)) {
    return std::nullopt;
  }
  auto learned = read_input(name->value, *value, diagnostics);
  auto before = read_input(name->value, *usual, diagnostics);
  const auto last = read_date("day", *day, diagnostics);
  if (!learned || !before || !last) return std::nullopt;
  out.protocol = *method;
  out.edition = static_cast<int>(number->value);
  out.input = name->value;
  out.value = std::move(*learned);
  out.usual = std::move(*before);
  out.limits = read_words("limits", fields.get("limits"), diagnostics);
  out.behind = read_words("behind", fields.get("behind"), diagnostics);
  out.day = last->value;
  return out;
}

}  // namespace

std::vector<LearnedValue> read_learned(const Node& tree, text::Diagnostics& diagnostics) {
  std::vector<LearnedValue> out;
  const Fields file(tree, KeyMap::learned_file, diagnostics);
  if (!file.usable()) return out;
  const Node* list = file.group("learned");
  if (list == nullptr || list->kind == Node::Kind::null) return out;
  if (list->kind != Node::Kind::list) {
    report_wanted(*list, {"learned", "a list", "- protocol: bench_graft"}, diagnostics);
    return out;
  }
  std::set<std::tuple<std::string, int, std::string>> known;
  for (const Node& item : list->items) {
    auto one = read_one(item, diagnostics);
    if (!one) continue;
    if (!known.emplace(one->protocol.value, one->edition, one->input).second) {
      diagnostics.error("duplicate-name", one->span,
                        "`" + one->input + "` of `" + one->protocol.value + "` is learned twice.",
                        "Take one of them out, or learn again: budwood learn BOOK --keep");
      continue;
    }
    out.push_back(std::move(*one));
  }
  return out;
}

std::string learned_yaml(const std::vector<LearnedValue>& values) {
  std::string out =
      "# What the record taught. `budwood learn --keep` writes this file anew. Plans go by these\n"
      "# values where neither a batch nor site.yaml says another; without the file they go by the\n"
      "# usual values of the protocols. A value holds for its edition, as long as the protocol "
      "still\n"
      "# has the usual value that it was held against.\n"
      "learned:\n";
  for (const LearnedValue& one : values) {
    out += "  - protocol: " + one.protocol.value + "\n";
    out += "    edition: " + std::to_string(one.edition) + "\n";
    out += "    input: " + one.input + "\n";
    out += "    value: " + one.value.text + "\n";
    out += "    usual: " + one.usual.text + "\n";
    if (!one.limits.empty()) out += "    limits: " + as_scalar(one.limits) + "\n";
    if (!one.behind.empty()) out += "    behind: " + as_scalar(one.behind) + "\n";
    out += "    day: " + calendar::iso_date(one.day) + "\n";
  }
  if (values.empty()) out += "  []\n";
  return out;
}

}  // namespace budwood::book
