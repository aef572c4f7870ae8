#include "language/written_formula.hpp"

namespace budwood::language {

namespace {

bool is_space(char c) {
  return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

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

std::string on_one_line(std::string_view text) {
  std::string out;
  bool comment = false;
  for (const char c : text) {
    if (c == '\n') comment = false;
    if (c == '#') comment = true;
    if (comment) continue;
    if (is_space(c)) {
      if (!out.empty() && out.back() != ' ') out += ' ';
    } else {
      out += c;
    }
  }
  while (out.ends_with(' ')) out.pop_back();
  return out;
}

std::string written_formula(const Protocol& protocol, FormulaId formula) {
  const text::Span& span = protocol.node(formula).span;
  return span.source == nullptr ? "" : on_one_line(text::text_of(balanced(span)));
}

}  // namespace budwood::language
