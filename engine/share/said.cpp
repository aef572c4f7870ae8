#include "share/said.hpp"

#include <array>
#include <charconv>

#include "language/tree/written_formula.hpp"

namespace budwood::share {

using language::FormulaId;
using language::Node;

const std::string& Told::stage(std::int32_t index) const {
  const std::string& own = protocol.stages[static_cast<std::size_t>(index)].name;
  const auto found = stages.find(own);
  return found == stages.end() ? own : found->second;
}

namespace {

std::string exact_number(double value) {
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
  return {buffer.data(), end};
}

std::string exact_reading(const Told& told, const language::Reading& reading) {
  std::string out = told.stage(reading.stage) + "." + language::facts_of(reading.measure).name;
  for (const int part :
       {static_cast<int>(reading.half), static_cast<int>(reading.moment),
        static_cast<int>(reading.is_set), static_cast<int>(reading.day.last), reading.day.day}) {
    out += "." + std::to_string(part);
  }
  return out;
}

std::string exact_formula(const Told& told, FormulaId id) {
  const Node& node = told.protocol.node(id);
  const auto target = static_cast<std::size_t>(node.target);
  std::string out = "(";
  switch (node.kind) {
    case Node::Kind::constant:
      return exact_number(node.value);
    case Node::Kind::input:
      return told.protocol.inputs[target].name;
    case Node::Kind::let:
      return told.protocol.lets[target].name;
    case Node::Kind::cell:
      return (node.target == Node::of_batch ? "batch" : told.stage(node.target)) + "." +
             language::word(node.property);
    case Node::Kind::reading:
      return exact_reading(told, told.protocol.readings[target]);
    case Node::Kind::look_up:
      out += told.protocol.tables[target].name;
      break;
    case Node::Kind::apply:
      out += std::to_string(static_cast<int>(node.operation));
      break;
  }
  for (const FormulaId child : node.children) {
    if (child != language::no_formula) out += " " + exact_formula(told, child);
  }
  return out + ")";
}

/// The unit in which a number was written; the usual one where it stood without.
units::Unit unit_to_show(const language::Protocol& protocol, FormulaId id) {
  const Node& node = protocol.node(id);
  if (const units::Unit* unit = language::written_unit(protocol, id)) return *unit;
  if (node.type.kind == language::Type::Kind::quantity && node.type.dimension.is_number())
    return {};
  return units::usual_unit(node.type.dimension, node.value);
}

bool has_written_unit(const language::Protocol& protocol, FormulaId id) {
  return language::written_unit(protocol, id) != nullptr;
}

bool is_number(const language::Protocol& protocol, FormulaId id) {
  const Node& node = protocol.node(id);
  return node.kind == Node::Kind::constant && node.type.kind != language::Type::Kind::truth;
}

std::string shown_formula(const language::Protocol& protocol, FormulaId id,
                          const units::Unit& unit) {
  const Node& node = protocol.node(id);
  if (!is_number(protocol, id)) return language::written_formula(protocol, id);
  if (node.type.kind == language::Type::Kind::date) {
    return calendar::iso_date(static_cast<calendar::Day>(node.value));
  }
  return units::format(node.value, unit, 12);
}

}  // namespace

Said& Said::add(const std::string& words) {
  shown_ += words;
  exact_ += words;
  return *this;
}

Said& Said::add(const std::string& shown, const std::string& exact) {
  shown_ += shown;
  exact_ += exact;
  return *this;
}

Said& Said::append(const Said& more) {
  shown_ += more.shown_;
  exact_ += more.exact_;
  return *this;
}

Said& Said::number(double number) {
  shown_ += units::format_number(number);
  exact_ += exact_number(number);
  return *this;
}

Said& Said::value(double base, const units::Unit& unit) {
  shown_ += units::format(base, unit, 12);
  exact_ += exact_number(base);
  return *this;
}

Said& Said::formula(const Told& told, FormulaId id) {
  return id == language::no_formula ? *this : formula(told, id, unit_to_show(told.protocol, id));
}

Said& Said::formula(const Told& told, FormulaId id, const units::Unit& unit) {
  if (id == language::no_formula) return *this;
  shown_ += shown_formula(told.protocol, id, unit);
  exact_ += exact_formula(told, id);
  return *this;
}

Said& Said::range(const Told& told, FormulaId low, FormulaId high) {
  if (low == language::no_formula) return *this;
  const bool one_value =
      high == language::no_formula || exact_formula(told, low) == exact_formula(told, high);
  if (one_value) return formula(told, low);
  const language::Protocol& protocol = told.protocol;
  // The unit of a range often stands at one end alone.
  const FormulaId leading = has_written_unit(protocol, high) ? high : low;
  const units::Unit unit = unit_to_show(protocol, is_number(protocol, leading) ? leading : high);
  exact_ += exact_formula(told, low) + " to " + exact_formula(told, high);
  const bool own_unit =
      has_written_unit(protocol, low) && unit_to_show(protocol, low).symbol != unit.symbol;
  const bool both = is_number(protocol, low) && is_number(protocol, high) && !own_unit &&
                    protocol.node(low).type.kind != language::Type::Kind::date;
  shown_ += both ? units::format_number(unit.from_base(protocol.node(low).value), 12)
                 : shown_formula(protocol, low, unit_to_show(protocol, low));
  shown_ += " to " + shown_formula(protocol, high, both ? unit : unit_to_show(protocol, high));
  return *this;
}

Said& Said::day(const language::StageDay& day) {
  return add(day.last ? "the last day" : "day " + std::to_string(day.day));
}

Said& Said::stage(const Told& told, std::int32_t index) {
  shown_ += "`" + told.protocol.stages[static_cast<std::size_t>(index)].name + "`";
  exact_ += "`" + told.stage(index) + "`";
  return *this;
}

}  // namespace budwood::share
