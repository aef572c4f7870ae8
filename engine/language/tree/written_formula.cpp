#include "language/tree/written_formula.hpp"

namespace budwood::language {

std::string written_formula(const Protocol& protocol, FormulaId formula) {
  const text::Span& span = protocol.node(formula).span;
  return span.source == nullptr ? "" : on_one_line(text::text_of(span));
}

bool is_written_number(const Protocol& protocol, FormulaId formula) {
  const Node& node = protocol.node(formula);
  return node.kind == Node::Kind::constant && node.written != Node::Written::formula;
}

const units::Unit* written_unit(const Protocol& protocol, FormulaId formula) {
  const Node& node = protocol.node(formula);
  if (node.kind != Node::Kind::constant || node.unit == Node::no_unit) return nullptr;
  return &protocol.written_units[static_cast<std::size_t>(node.unit)];
}

}  // namespace budwood::language
