#include <algorithm>
#include <cctype>

#include "language/formulas/formula_checker.hpp"

/// Messages with values in braces: "Humidity falls to {weaning.humidity.first}."
namespace budwood::language {

namespace {

/// `a.b.c` as a formula; nothing when it is not names with points between them.
std::optional<syntax::Formula> path_formula(std::string_view written, const text::Span& span) {
  syntax::Formula out;
  out.span = span;
  while (true) {
    const std::size_t point = written.find('.');
    const std::string word(written.substr(0, point));
    const bool is_name =
        !word.empty() && std::none_of(word.begin(), word.end(), [](unsigned char c) {
          return c < 0x80 && std::isalnum(c) == 0 && c != '_';
        });
    if (!is_name) return std::nullopt;
    if (out.name.text.empty()) {
      out.name = {word, span};
    } else {
      out.members.push_back({word, span});
    }
    if (point == std::string_view::npos) break;
    written.remove_prefix(point + 1);
  }
  out.kind = out.members.empty() ? syntax::Formula::Kind::name : syntax::Formula::Kind::member;
  return out;
}

}  // namespace

/// How a value that stands in a message is shown; nothing where its type says it.
std::optional<units::Unit> FormulaChecker::unit_to_show(FormulaId id) const {
  const Node& node = protocol_.node(id);
  if (node.kind == Node::Kind::let) {
    const FormulaId value = protocol_.lets[static_cast<std::size_t>(node.target)].value;
    return value == no_formula ? std::nullopt : unit_to_show(value);
  }
  // A sum, or the larger of two, is in what its sides are in.
  const bool joins = node.operation == Operation::add || node.operation == Operation::subtract ||
                     node.operation == Operation::minimum || node.operation == Operation::maximum;
  if (node.kind == Node::Kind::apply && joins && node.type.kind == Type::Kind::quantity &&
      node.type.dimension != units::temperature) {
    return unit_to_show(node.children[0]);
  }
  if (node.kind == Node::Kind::input) {
    return protocol_.inputs[static_cast<std::size_t>(node.target)].unit;
  }
  if (node.kind == Node::Kind::reading && node.type.kind != Type::Kind::truth) {
    const Reading& reading = protocol_.readings[static_cast<std::size_t>(node.target)];
    const MeasureFacts& facts = facts_of(reading.measure);
    const bool change =
        facts.type.kind == Type::Kind::temperature && node.type.kind != Type::Kind::temperature;
    return change ? std::nullopt : units::find_unit(facts.unit);
  }
  return std::nullopt;
}

std::vector<Requirement::Piece> FormulaChecker::message(const syntax::Text& written) {
  std::vector<Requirement::Piece> out;
  std::string_view rest = written.value;
  std::string plain;
  while (true) {
    const std::size_t open = rest.find('{');
    plain += rest.substr(0, open);
    if (open == std::string_view::npos) break;
    const std::size_t close = rest.find('}', open);
    const std::string_view inside = close == std::string_view::npos
                                        ? std::string_view{}
                                        : rest.substr(open + 1, close - open - 1);
    const auto formula = path_formula(inside, written.span);
    if (!formula) {
      diagnostics_.error("message-value", written.span,
                         "Between braces in a message stands the name of a value.",
                         "Such as: \"It ends on {healing.end}.\"");
      return out;
    }
    rest.remove_prefix(close + 1);
    if (const auto known = plain_text(*formula)) {
      plain += *known;
      continue;
    }
    const FormulaId value = check(*formula);
    if (value == no_formula) return out;
    const bool climate = protocol_.node(value).kind == Node::Kind::reading;
    out.push_back({std::move(plain), value, unit_to_show(value), climate ? 3 : 6});
    plain.clear();
  }
  out.push_back({std::move(plain), no_formula, std::nullopt, 0});
  return out;
}

}  // namespace budwood::language
