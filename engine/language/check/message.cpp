#include <algorithm>
#include <iterator>

#include "language/formulas/formula_checker.hpp"

/// Messages with values in braces: "Humidity falls to {weaning.humidity.first}."
namespace budwood::language {

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

std::optional<units::Unit> FormulaChecker::climate_unit(FormulaId id) const {
  const Node& node = protocol_.node(id);
  if (node.type.kind != Type::Kind::quantity) return std::nullopt;
  for (const char* measure : {"light_sum", "vpd"}) {
    const MeasureFacts& facts = *find_measure(measure);
    if (node.type.dimension != facts.type.dimension) continue;
    if (facts.measure == Measure::vpd || sums_light(id)) return units::find_unit(facts.unit);
  }
  return std::nullopt;
}

/// Whether a formula is a sum of light, or worked out from one.
bool FormulaChecker::sums_light(FormulaId id) const {
  const Node& node = protocol_.node(id);
  switch (node.kind) {
    case Node::Kind::let: {
      const FormulaId value = protocol_.lets[static_cast<std::size_t>(node.target)].value;
      return value != no_formula && sums_light(value);
    }
    case Node::Kind::reading:
      return protocol_.readings[static_cast<std::size_t>(node.target)].measure ==
             Measure::light_sum;
    case Node::Kind::input: {
      const units::Unit& unit = protocol_.inputs[static_cast<std::size_t>(node.target)].unit;
      return unit.symbol == facts_of(Measure::light_sum).unit;
    }
    case Node::Kind::constant:
      return node.unit != Node::no_unit &&
             protocol_.written_units[static_cast<std::size_t>(node.unit)].symbol ==
                 facts_of(Measure::light_sum).unit;
    case Node::Kind::apply:
      return node.operation == Operation::light_sum ||
             std::any_of(std::begin(node.children), std::end(node.children),
                         [&](FormulaId child) { return child != no_formula && sums_light(child); });
    default:
      return false;
  }
}

std::vector<Requirement::Piece> FormulaChecker::message(const syntax::Message& written) {
  std::vector<Requirement::Piece> out;
  std::string plain;
  for (const syntax::Message::Value& one : written.values) {
    plain += one.before;
    if (const auto known = plain_text(one.path)) {
      plain += *known;
      continue;
    }
    const FormulaId value = check(one.path);
    if (value == no_formula) return out;
    const bool climate = protocol_.node(value).kind == Node::Kind::reading;
    out.push_back({std::move(plain), value, unit_to_show(value), climate ? 3 : 6});
    plain.clear();
  }
  out.push_back({plain + written.rest, no_formula, std::nullopt, 0});
  return out;
}

}  // namespace budwood::language
