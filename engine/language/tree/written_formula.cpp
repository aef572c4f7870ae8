#include "language/tree/written_formula.hpp"

namespace budwood::language {

namespace {

/// What of a source stands for a formula. A span runs from its first value to its last; brackets
/// that open or close before or behind are taken in.
text::Span balanced(text::Span span) {
  const std::string_view all = span.source->text();
  int open = 0;
  int missing = 0;
  for (std::size_t i = span.begin; i < span.end; ++i) {
    if (all[i] == '(') ++open;
    if (all[i] == ')' && --open < 0) {
      ++missing;
      open = 0;
    }
  }
  while (missing > 0 && span.begin > 0) {
    if (all[--span.begin] == '(') --missing;
  }
  while (open > 0 && span.end < all.size()) {
    if (all[span.end++] == ')') --open;
  }
  return span;
}

}  // namespace

text::Span whole_formula(const Protocol& protocol, FormulaId formula) {
  return balanced(protocol.node(formula).span);
}

std::string written_formula(const Protocol& protocol, FormulaId formula) {
  const text::Span& span = protocol.node(formula).span;
  return span.source == nullptr ? "" : on_one_line(text::text_of(balanced(span)));
}

}  // namespace budwood::language
