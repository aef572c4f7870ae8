#include "editor/outline.hpp"

#include <algorithm>

#include "editor/books/outline.hpp"

namespace budwood::editor {

using language::NameKind;
using language::WrittenItem;
using language::WrittenWord;

namespace {

using Colour = Coloured::Colour;

OutlineLine line_of(const Document& document, const WrittenItem& item) {
  const std::string name = item.name.empty() ? item.title : item.name;
  const std::string detail = item.name.empty() ? "" : item.title;
  return {item.kind,
          name.empty() ? "?" : name,
          detail,
          document.range(item.span),
          document.range(item.head),
          {}};
}

Colour colour_of_name(NameKind kind) {
  switch (kind) {
    case NameKind::stage:
      return Colour::stage;
    case NameKind::part:
      return Colour::part;
    case NameKind::supply:
    case NameKind::hazard:
      return Colour::supply;
    case NameKind::input:
    case NameKind::let:
    case NameKind::value:
    case NameKind::observation:
    case NameKind::variable:
      return Colour::value;
    case NameKind::table:
      return Colour::function;
    case NameKind::setting:
      return Colour::setting;
    case NameKind::property:
      return Colour::property;
    default:
      return Colour::other;
  }
}

Colour colour_of(const WrittenWord& word) {
  switch (word.kind) {
    case WrittenWord::Kind::keyword:
      return Colour::keyword;
    case WrittenWord::Kind::name:
      return colour_of_name(word.name);
    case WrittenWord::Kind::unit:
      return Colour::unit;
    case WrittenWord::Kind::number:
    case WrittenWord::Kind::date:
    case WrittenWord::Kind::time:
      return Colour::number;
    case WrittenWord::Kind::text:
      return Colour::text;
    case WrittenWord::Kind::comment:
      return Colour::comment;
    case WrittenWord::Kind::sign:
      return Colour::sign;
  }
  return Colour::other;
}

}  // namespace

std::vector<OutlineLine> outline(const Document& document) {
  if (document.kind() == FileKind::site || document.kind() == FileKind::batches) {
    return outline_of_book(document);
  }
  std::vector<OutlineLine> out;
  // Items come in order, each with its depth, so the open ones are the last of each list.
  for (const WrittenItem& item : document.written().items) {
    std::vector<OutlineLine>* list = &out;
    for (std::size_t depth = 0; depth < item.depth && !list->empty(); ++depth) {
      list = &list->back().below;
    }
    list->push_back(line_of(document, item));
  }
  return out;
}

std::vector<Fold> folds(const Document& document) {
  std::vector<Fold> out;
  for (const text::Span& block : document.written().blocks) {
    const Range range = document.range(block);
    if (range.begin.line < range.end.line) out.push_back({range.begin.line, range.end.line, false});
  }
  std::optional<Fold> comment;
  std::uint32_t last_word = static_cast<std::uint32_t>(-1);
  for (const WrittenWord& word : document.written().words) {
    const std::uint32_t line = document.range(word.span).begin.line;
    const bool alone = word.kind == WrittenWord::Kind::comment && line != last_word;
    if (alone && comment && comment->last + 1 == line) {
      comment->last = line;
    } else {
      if (comment && comment->first < comment->last) out.push_back(*comment);
      comment = alone ? std::optional(Fold{line, line, true}) : std::nullopt;
    }
    if (word.kind != WrittenWord::Kind::comment) last_word = line;
  }
  if (comment && comment->first < comment->last) out.push_back(*comment);
  std::sort(out.begin(), out.end(), [](const Fold& a, const Fold& b) { return a.first < b.first; });
  return out;
}

std::vector<Coloured> colours(const Document& document) {
  std::vector<Coloured> out;
  for (const WrittenWord& word : document.written().words) {
    const Range range = document.range(word.span);
    if (range.begin.line != range.end.line) continue;
    out.push_back(
        {range.begin, range.end.character - range.begin.character, colour_of(word), word.declares});
  }
  return out;
}

}  // namespace budwood::editor
