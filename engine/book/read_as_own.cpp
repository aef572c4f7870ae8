#include "book/read_as_own.hpp"

#include <algorithm>

#include "book/library.hpp"

namespace budwood::book {

namespace {

/// The files of the protocols of a book but one, in which bases stand.
std::vector<const text::Source*> beside(const Book& book, const text::Source* own) {
  std::vector<const text::Source*> out;
  for (const language::Protocol& protocol : book.protocols) {
    const text::Source* source = protocol.span.source;
    if (source == nullptr || source == own) continue;
    if (std::find(out.begin(), out.end(), source) == out.end()) out.push_back(source);
  }
  // Shared tables stand in files of their own.
  for (const language::Protocol& protocol : book.protocols) {
    for (const language::Table& table : protocol.tables) {
      const text::Source* source = table.span.source;
      if (source == nullptr || source == own) continue;
      if (std::find(out.begin(), out.end(), source) == out.end()) out.push_back(source);
    }
  }
  return out;
}

}  // namespace

language::Document read_as_own(const Book& book, const text::Source& source,
                               const text::Source* instead_of, text::Diagnostics& diagnostics) {
  language::Document out = language::read({&source}, diagnostics, beside(book, instead_of));
  out.rule_sets = book.rule_sets;
  make_own(book.site, diagnostics, out);
  return out;
}

}  // namespace budwood::book
