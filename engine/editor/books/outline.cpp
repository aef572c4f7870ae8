#include "editor/books/outline.hpp"

#include <algorithm>

#include "book/yaml/yaml_tree.hpp"

namespace budwood::editor {

namespace {

using book::Entry;
using book::Node;

std::string value_of(const Node& map, const char* key) {
  const Node* found = map.find(key);
  return found == nullptr ? "" : found->value;
}

OutlineLine line_of(const Document& document, const Entry& entry) {
  text::Span all = entry.key_span;
  all.end = std::max(all.end, entry.value.span.end);
  return {
      language::WrittenItem::Kind::declaration, entry.key, entry.value.value, document.range(all),
      document.range(entry.key_span),           {}};
}

/// A batch, by its name; of other lists nothing has one.
void add_item(const Document& document, const Node& item, std::vector<OutlineLine>& out) {
  const Node* name = item.find("batch");
  if (name == nullptr || name->value.empty()) return;
  text::Span all = item.span;
  all.begin = std::min(all.begin, name->span.begin);
  all.end = std::max(all.end, name->span.end);
  out.push_back({language::WrittenItem::Kind::stage,
                 name->value,
                 value_of(item, "protocol"),
                 document.range(all),
                 document.range(name->span),
                 {}});
}

}  // namespace

std::vector<OutlineLine> outline_of_book(const Document& document) {
  text::Diagnostics unheard;
  const auto tree = book::read_tree(document.source(), unheard);
  std::vector<OutlineLine> out;
  if (!tree) return out;
  for (const Entry& entry : tree->entries) {
    OutlineLine line = line_of(document, entry);
    for (const Entry& inner : entry.value.entries) line.below.push_back(line_of(document, inner));
    for (const Node& item : entry.value.items) add_item(document, item, line.below);
    out.push_back(std::move(line));
  }
  return out;
}

}  // namespace budwood::editor
