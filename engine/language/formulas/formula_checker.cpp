#include "language/formulas/formula_checker.hpp"
#include "language/formulas/measure.hpp"
#include "language/typed_words.hpp"

#include <algorithm>
#include <array>

namespace budwood::language {

namespace {

struct PropertyName {
  const char* word;
  Property property;
  Type type;
};

const std::array<PropertyName, 7>& properties() {
  static const std::array<PropertyName, 7> table{{
      {"start", Property::start, Type::date()},
      {"end", Property::end, Type::date()},
      {"days", Property::days, Type::quantity(units::time)},
      {"plants", Property::plants, Type::quantity(units::count)},
      {"left", Property::left, Type::quantity(units::count)},
      {"hours", Property::hours, Type::quantity(units::time)},
      {"ready", Property::ready, Type::date()},
  }};
  return table;
}

}  // namespace

const char* word(Property property) {
  for (const PropertyName& p : properties()) {
    if (p.property == property) return p.word;
  }
  return "";
}

FormulaId FormulaChecker::add(Node node) {
  protocol_.nodes.push_back(node);
  return static_cast<FormulaId>(protocol_.nodes.size()) - 1;
}

FormulaId FormulaChecker::constant(double value, const Type& type, const text::Span& span) {
  Node node;
  node.kind = Node::Kind::constant;
  node.value = value;
  node.type = type;
  node.span = span;
  return add(node);
}

FormulaId FormulaChecker::apply(Operation operation, const Type& type, const text::Span& span,
                                std::initializer_list<FormulaId> children) {
  if (const auto known = decided(operation, children)) {
    const FormulaId id = constant(*known, type, span);
    protocol_.nodes.back().written = Node::Written::formula;
    return id;
  }
  Node node;
  node.kind = Node::Kind::apply;
  node.operation = operation;
  node.type = type;
  node.span = span;
  std::copy(children.begin(), children.end(), node.children);
  return add(node);
}

FormulaId FormulaChecker::mismatch(const text::Span& span, const std::string& message,
                                   const std::string& advice) {
  diagnostics_.error("unit-mismatch", span, message, advice);
  return no_formula;
}

FormulaId FormulaChecker::check(const syntax::Formula& formula) {
  switch (formula.kind) {
    case syntax::Formula::Kind::number:
      return number(formula);
    case syntax::Formula::Kind::date:
      return constant(formula.number, Type::date(), formula.span);
    case syntax::Formula::Kind::name:
      return name(formula);
    case syntax::Formula::Kind::member:
      return member(formula);
    case syntax::Formula::Kind::call:
      return call(formula);
    case syntax::Formula::Kind::apply:
      return operate(formula);
    case syntax::Formula::Kind::between:
      return between(formula);
    case syntax::Formula::Kind::has:
      return has(formula);
    case syntax::Formula::Kind::choose_of:
      return choose_of(formula);
  }
  return no_formula;
}

FormulaId FormulaChecker::check(const syntax::Formula& formula, const Type& wanted,
                                const std::string& what,
                                const std::optional<units::Unit>& borrowed) {
  if (formula.kind == syntax::Formula::Kind::number && formula.unit.text.empty() && borrowed) {
    syntax::Formula with_unit = formula;
    with_unit.unit.text = borrowed->symbol;
    with_unit.unit.span = formula.span;
    const FormulaId id = check(with_unit, wanted, what);
    // Nobody wrote the unit here.
    if (id != no_formula) protocol_.nodes[static_cast<std::size_t>(id)].unit = Node::no_unit;
    return id;
  }
  const FormulaId id = check(formula);
  if (id == no_formula || alike(type_of(id), wanted)) return id;
  std::string advice;
  const Type& got = type_of(id);
  const bool wants_difference =
      wanted.kind == Type::Kind::quantity && wanted.dimension == units::temperature;
  if (got.loose && wanted.kind != Type::Kind::truth && wanted.kind != Type::Kind::date) {
    const bool wants_time = wanted.dimension == units::time;
    const std::string usual = wants_difference ? "degC_difference"
                              : wants_time     ? "days`, `h` or `min"
                              : what == "`light_sum`"
                                  ? "mol/m2/day"
                                  : units::usual_unit(wanted.dimension, 1e6).symbol;
    advice = "Write the unit, such as `" + usual + "`.";
  } else if (wants_difference && got.kind == Type::Kind::temperature) {
    advice = "A difference is written `5 degC_difference`.";
  } else if (got.kind == Type::Kind::quantity && formula.kind != syntax::Formula::Kind::number &&
             got.dimension == wanted.dimension * units::count) {
    advice = "A count over a count is a plain number: `plants / (40 plants)`.";
  }
  if (advice.empty() && wanted.kind == Type::Kind::quantity &&
      wanted.dimension == facts_of(Measure::light).type.dimension) {
    advice =
        what == "`light_sum`" ? "A sum is for a day: `keep light_sum at least 8 mol/m2/day`."
        : formula.unit.text == "lux"
            ? "What it is worth depends on the lamp: `photon_flux(" +
                  std::string(text::text_of(formula.span)) + ", sunlight)`."
            : "Light is in umol/m2/s, its hours stand behind it: `keep light 100 umol/m2/s for "
              "16 h`.";
  }
  return mismatch(formula.span,
                  what + " wants " + describe(wanted) + ", but this is " + describe(got) + ".",
                  advice);
}

std::optional<units::Unit> FormulaChecker::unit(const syntax::UnitText& text) {
  if (text.text.starts_with("1/")) {
    const auto under = unit({text.text.substr(2), text.span});
    if (!under) return std::nullopt;
    units::Unit one;
    return units::quotient(one, *under);
  }
  if (auto known = units::find_unit(text.text)) return known;
  if (std::find(nouns_.begin(), nouns_.end(), text.text) != nouns_.end()) {
    return units::counting_unit(text.text);
  }
  // Of a quotient the piece that is not known is named.
  std::string_view rest = text.text;
  std::string piece;
  do {
    piece = rest.substr(0, rest.find('/'));
    rest.remove_prefix(std::min(rest.size(), piece.size() + 1));
  } while (!rest.empty() && units::find_unit(piece));
  const bool quotient = piece != text.text;
  diagnostics_.error(
      "unknown-unit", text.span,
      "There is no unit `" + text.text + "`" + (quotient ? ": `" + piece + "` is not known." : "."),
      unit_advice(piece));
  return std::nullopt;
}

std::string FormulaChecker::unit_advice(const std::string& unit) {
  if (std::string advice = advice_for_unit(unit); !advice.empty()) return advice;
  if (scope_.peek(unit) != nullptr) {
    return "If a number times `" + unit + "` is meant, write * between them.";
  }
  if (diagnostics_.crowded()) return {};
  std::vector<std::string> near = units::unit_names();
  near.insert(near.end(), nouns_.begin(), nouns_.end());
  return text::did_you_mean(unit, near);
}

FormulaId FormulaChecker::number(const syntax::Formula& formula) {
  if (formula.unit.text.empty()) {
    Type type = Type::quantity(units::number);
    type.loose = true;
    const FormulaId id = constant(formula.number, type, formula.span);
    if (!formula.name.text.empty()) protocol_.nodes.back().written = Node::Written::name;
    return id;
  }
  const auto known = unit(formula.unit);
  if (!known) return no_formula;
  const Type type = known->absolute ? Type::temperature() : Type::quantity(known->dimension);
  const double base = known->to_base(formula.number);
  if (known->absolute && base < 0) {
    diagnostics_.error("out-of-range", formula.span, "No temperature is as low as this.");
    return no_formula;
  }
  const FormulaId id = constant(base, type, formula.span);
  note_unit(id, *known);
  return id;
}

void FormulaChecker::note_unit(FormulaId id, const units::Unit& unit) {
  std::vector<units::Unit>& units = protocol_.written_units;
  const auto same = std::find_if(units.begin(), units.end(), [&](const units::Unit& one) {
    return one.symbol == unit.symbol && one.absolute == unit.absolute;
  });
  protocol_.nodes[static_cast<std::size_t>(id)].unit =
      static_cast<std::int32_t>(same - units.begin());
  if (same == units.end()) units.push_back(unit);
}

FormulaId FormulaChecker::name(const syntax::Formula& formula) {
  if (rules_ != nullptr) return variable_member(formula);
  if (formula.name.text == "plants") {
    if (stage_ != Node::of_batch) return cell(stage_, Property::plants, formula.span);
    diagnostics_.error("unknown-name", formula.span, "`plants` needs a stage here.",
                       "Write `STAGE.plants`, or `batch.plants` for the plants ordered.");
    return no_formula;
  }
  using Kind = Declared::Kind;
  const auto found =
      scope_.find(formula.name, {Kind::input, Kind::let}, "an input or `let`", diagnostics_);
  if (!found) return no_formula;
  Node node;
  node.span = formula.span;
  node.target = found->index;
  if (found->kind == Kind::input) {
    node.kind = Node::Kind::input;
    node.type = protocol_.inputs[static_cast<std::size_t>(found->index)].type;
  } else {
    node.kind = Node::Kind::let;
    const Let& let = protocol_.lets[static_cast<std::size_t>(found->index)];
    if (let.value == no_formula) return no_formula;  // its own mistake has been reported
    node.type = let.type;
  }
  return add(node);
}

FormulaId FormulaChecker::cell(std::int32_t stage, Property property, const text::Span& span) {
  Node node;
  node.kind = Node::Kind::cell;
  node.target = stage;
  node.property = property;
  node.span = span;
  for (const PropertyName& p : properties()) {
    if (p.property == property) node.type = p.type;
  }
  return add(node);
}

FormulaId FormulaChecker::member(const syntax::Formula& formula) {
  if (rules_ != nullptr && formula.name.text != "batch") return variable_member(formula);
  std::int32_t stage = Node::of_batch;
  if (formula.name.text != "batch") {
    const auto found = scope_.find(formula.name, {Declared::Kind::stage}, "a stage", diagnostics_);
    if (!found) return no_formula;
    stage = found->index;
  }
  const syntax::Name& word = formula.members.front();
  const MeasureFacts* measure = stage == Node::of_batch ? nullptr : find_measure(word.text);
  if (measure != nullptr) return reading(formula, stage, *measure, 1);
  return property(formula, stage, word, formula.members.size() > 1 || formula.day);
}

FormulaId FormulaChecker::property(const syntax::Formula& formula, std::int32_t stage,
                                   const syntax::Name& word, bool more) {
  const bool batch = stage == Node::of_batch;
  std::vector<std::string> near;
  for (const PropertyName& p : properties()) {
    const bool of_batch = p.property == Property::ready || p.property == Property::plants;
    if (batch ? !of_batch : p.property == Property::ready) continue;
    near.emplace_back(p.word);
    if (word.text != p.word) continue;
    if (!more) return cell(stage, p.property, formula.span);
    diagnostics_.error("unknown-name", formula.span, "Nothing stands behind `" + word.text + "`.",
                       "Leave it out.");
    return no_formula;
  }
  std::string advice = "It has " + text::list_words(near, "and") + ".";
  if (!batch) {
    for (const MeasureFacts& one : measures()) near.push_back(one.name);
  }
  if (const std::string meant = text::did_you_mean(word.text, near); !meant.empty()) advice = meant;
  diagnostics_.error("unknown-name", word.span,
                     "`" + formula.name.text + "` has no `" + word.text + "`.", advice);
  return no_formula;
}

}  // namespace budwood::language
