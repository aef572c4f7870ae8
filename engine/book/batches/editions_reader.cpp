#include "book/batches/editions_reader.hpp"

#include <algorithm>
#include <map>
#include <sstream>

#include "book/limits.hpp"
#include "book/yaml/values.hpp"
#include "language/bases/layer.hpp"

namespace budwood::book {

namespace {

std::optional<int> read_number(const Node& node, text::Diagnostics& diagnostics) {
  const auto whole =
      read_whole(node, {"edition", "a whole number", "2"}, 1, last_edition, "", diagnostics);
  return whole ? std::optional(static_cast<int>(whole->value)) : std::nullopt;
}

bool is_fingerprint(const std::string& text) {
  constexpr std::size_t digits = 64;
  return text.size() == digits && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

std::optional<KeptEdition> read_kept(const Node& node, text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::edition, diagnostics);
  if (!fields.usable()) return std::nullopt;
  KeptEdition out;
  out.span = node.span;
  const Node* name = fields.get("rules");
  out.rule_set = name != nullptr;
  if (name == nullptr) name = fields.need("protocol", "protocol: bench_graft");
  const Node* edition = fields.need("edition", "edition: 2");
  const Node* print = fields.need("fingerprint", "fingerprint: its 64 digits");
  if (name == nullptr || edition == nullptr || print == nullptr) return std::nullopt;
  const auto line =
      read_line(*name, {"protocol", "a name", "bench_graft"}, longest_line, diagnostics);
  const auto number = read_number(*edition, diagnostics);
  if (!line || !number) return std::nullopt;
  // Of a variant both names must be good ones.
  const std::string variant = language::variant_of(line->value);
  if (!check_name(language::method_of(line->value), name->span, diagnostics)) return std::nullopt;
  if (!variant.empty() && !check_name(variant, name->span, diagnostics)) return std::nullopt;
  if (print->kind != Node::Kind::scalar || !is_fingerprint(print->value)) {
    diagnostics.error("wrong-value", print->span, "A fingerprint has 64 digits, 0 to 9 and a to f.",
                      "`budwood editions BOOK --keep` writes this file anew.");
    return std::nullopt;
  }
  out.name = line->value;
  out.edition = *number;
  out.fingerprint = print->value;
  return out;
}

struct OfBatch {
  std::string protocol;
  int edition = 1;
};

/// "bench_graft edition 2"
std::optional<OfBatch> read_of_batch(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"batches", "a protocol and its edition", "bench_graft edition 2"};
  const auto line = read_line(node, wanted, longest_line, diagnostics);
  if (!line) return std::nullopt;
  std::istringstream words(line->value);
  OfBatch out;
  std::string word;
  std::string number;
  std::string more;
  words >> out.protocol >> word >> number >> more;
  if (word != "edition" || number.empty() || !more.empty()) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  Node part = node;
  part.value = number;
  const auto edition = read_number(part, diagnostics);
  if (!edition) return std::nullopt;
  out.edition = *edition;
  return out;
}

void read_batches_kept(const Node* node, std::vector<Batch>& batches,
                       text::Diagnostics& diagnostics) {
  // The cultivars of a batch share its name and its protocol.
  std::multimap<std::string, Batch*> by_name;
  for (Batch& batch : batches) by_name.emplace(batch.id.value, &batch);
  const Wanted wanted{"batches", "a line for each batch", "A27-003: bench_graft edition 2"};
  for (const Entry& entry : entries_of(node, wanted, diagnostics)) {
    const auto kept = read_of_batch(entry.value, diagnostics);
    if (!kept) continue;
    const auto [first, end] = by_name.equal_range(entry.key);
    if (first == end) {
      diagnostics.warning("unknown-batch", entry.key_span,
                          "There is no batch `" + entry.key + "` any more.",
                          "Keep the editions again, and this line goes.");
    }
    for (auto batch = first; batch != end; ++batch) {
      // A batch that was given another protocol since then starts afresh.
      if (batch->second->protocol.value != kept->protocol) continue;
      batch->second->kept_edition = Placed<int>{kept->edition, entry.value.span};
    }
  }
}

template <typename Item>
void check_one(const KeptEdition& kept, const std::vector<Item>& items, const std::string& kind,
               text::Diagnostics& diagnostics) {
  const auto found = std::find_if(items.begin(), items.end(), [&](const Item& one) {
    return one.name == kept.name && one.edition == kept.edition;
  });
  if (found == items.end() || found->fingerprint == kept.fingerprint) return;
  text::Diagnostic d;
  d.severity = text::Severity::warning;
  d.code = "edition-changed";
  d.span = found->span;
  d.message = "The " + kind + " `" + kept.name +
              "` means something else than it did when edition " + std::to_string(kept.edition) +
              " of it was kept.";
  d.advice = "Give the changed one the next number, `edition " + std::to_string(kept.edition + 1) +
             "`, in a file of its own beside the old one, so that batches can stay on what they "
             "began with. "
             "Where the change is meant for all of them, `budwood editions BOOK --keep` keeps it.";
  d.related.push_back({kept.span, "What was kept stands here."});
  diagnostics.add(std::move(d));
}

}  // namespace

std::vector<KeptEdition> read_editions(const Node& tree, std::vector<Batch>& batches,
                                       text::Diagnostics& diagnostics) {
  std::vector<KeptEdition> out;
  const Fields file(tree, KeyMap::editions_file, diagnostics);
  if (!file.usable()) return out;
  const Node* list = file.group("editions");
  if (list != nullptr && list->kind != Node::Kind::null && list->kind != Node::Kind::list) {
    report_wanted(*list, {"editions", "a list", "- protocol: bench_graft"}, diagnostics);
  } else if (list != nullptr) {
    for (const Node& item : list->items) {
      const auto kept = read_kept(item, diagnostics);
      if (!kept) continue;
      const bool again = std::any_of(out.begin(), out.end(), [&](const KeptEdition& other) {
        return other.rule_set == kept->rule_set && other.name == kept->name &&
               other.edition == kept->edition;
      });
      if (again) {
        diagnostics.error("repeated-value", item.span, "This edition was kept further up already.",
                          "`budwood editions BOOK --keep` writes this file anew.");
        continue;
      }
      out.push_back(*kept);
    }
  }
  read_batches_kept(file.group("batches"), batches, diagnostics);
  return out;
}

void check_editions(const std::vector<KeptEdition>& kept, const language::Document& library,
                    text::Diagnostics& diagnostics) {
  for (const KeptEdition& one : kept) {
    if (one.rule_set) {
      check_one(one, library.rule_sets, "rule set", diagnostics);
    } else {
      check_one(one, library.protocols, "protocol", diagnostics);
    }
  }
}

}  // namespace budwood::book
