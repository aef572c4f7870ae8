#include "language/formula_checker.hpp"

#include <algorithm>
#include <array>

namespace budwood::language {

namespace {

using syntax::Formula;

constexpr double seconds_a_day = 86400;

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

bool is_number(const Type& type) {
  return type.kind == Type::Kind::quantity && type.dimension.is_number();
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

FormulaId FormulaChecker::check(const Formula& formula) {
  switch (formula.kind) {
    case Formula::Kind::number:
      return number(formula);
    case Formula::Kind::date:
      return constant(formula.number, Type::date(), formula.span);
    case Formula::Kind::name:
      return name(formula);
    case Formula::Kind::member:
      return member(formula);
    case Formula::Kind::call:
      return call(formula);
    case Formula::Kind::apply:
      return operate(formula);
  }
  return no_formula;
}

FormulaId FormulaChecker::check(const Formula& formula, const Type& wanted, const std::string& what,
                                const std::optional<units::Unit>& borrowed) {
  if (formula.kind == Formula::Kind::number && formula.unit.text.empty() && borrowed) {
    Formula with_unit = formula;
    with_unit.unit.text = borrowed->symbol;
    with_unit.unit.span = formula.span;
    return check(with_unit, wanted, what);
  }
  const FormulaId id = check(formula);
  if (id == no_formula || alike(type_of(id), wanted)) return id;
  std::string advice;
  const Type& got = type_of(id);
  if (got.loose && wanted.kind == Type::Kind::quantity && wanted.dimension == units::time) {
    advice = "Write the unit, such as `days`.";
  } else if (wanted.dimension == units::temperature && wanted.kind == Type::Kind::quantity &&
             got.kind == Type::Kind::temperature) {
    advice = "A difference is written `5 degC_difference`.";
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
  std::vector<std::string> near = units::unit_names();
  near.insert(near.end(), nouns_.begin(), nouns_.end());
  std::string advice = text::did_you_mean(text.text, near);
  if (text.text == "C" || text.text == "F") advice = "Temperatures are in degC or degF.";
  if (text.text == "months" || text.text == "month" || text.text == "years" ||
      text.text == "year") {
    advice = "Months and years differ in length; use weeks or days.";
  }
  diagnostics_.error("unknown-unit", text.span, "There is no unit `" + text.text + "`.", advice);
  return std::nullopt;
}

FormulaId FormulaChecker::number(const Formula& formula) {
  if (formula.unit.text.empty()) {
    Type type = Type::quantity(units::number);
    type.loose = true;
    return constant(formula.number, type, formula.span);
  }
  const auto known = unit(formula.unit);
  if (!known) return no_formula;
  const Type type = known->absolute ? Type::temperature() : Type::quantity(known->dimension);
  const double base = known->to_base(formula.number);
  if (known->absolute && base < 0) {
    diagnostics_.error("out-of-range", formula.span, "No temperature is as low as this.");
    return no_formula;
  }
  return constant(base, type, formula.span);
}

FormulaId FormulaChecker::name(const Formula& formula) {
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
    if (let.value == no_formula) resolve_let_(found->index);
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

FormulaId FormulaChecker::member(const Formula& formula) {
  const bool batch = formula.name.text == "batch";
  std::vector<std::string> near;
  std::optional<Property> property;
  for (const PropertyName& p : properties()) {
    const bool of_batch = p.property == Property::ready || p.property == Property::plants;
    if (batch ? !of_batch : p.property == Property::ready) continue;
    near.emplace_back(p.word);
    if (formula.member.text == p.word) property = p.property;
  }
  std::int32_t stage = Node::of_batch;
  if (!batch) {
    const auto found = scope_.find(formula.name, {Declared::Kind::stage}, "a stage", diagnostics_);
    if (!found) return no_formula;
    stage = found->index;
  }
  if (!property) {
    std::string advice = text::did_you_mean(formula.member.text, near);
    if (advice.empty()) advice = "It has " + text::list_words(near, "and") + ".";
    diagnostics_.error("unknown-name", formula.member.span,
                       "`" + formula.name.text + "` has no `" + formula.member.text + "`.", advice);
    return no_formula;
  }
  return cell(stage, *property, formula.span);
}

FormulaId FormulaChecker::operate(const Formula& formula) {
  std::vector<FormulaId> children;
  for (const Formula& argument : formula.arguments) children.push_back(check(argument));
  if (std::find(children.begin(), children.end(), no_formula) != children.end()) return no_formula;
  switch (formula.operation) {
    case Operation::add:
    case Operation::subtract:
      return sum(formula, children[0], children[1]);
    case Operation::multiply:
    case Operation::divide:
      return product(formula, children[0], children[1]);
    case Operation::power:
      return power(formula, children[0], children[1]);
    case Operation::negate: {
      const Type type = type_of(children[0]);
      if (type.kind != Type::Kind::quantity) {
        return mismatch(formula.span, "There is no negative of " + describe(type) + ".");
      }
      return apply(Operation::negate, type, formula.span, {children[0]});
    }
    case Operation::both:
    case Operation::either:
    case Operation::invert:
      return logic(formula, children);
    case Operation::choose:
      return choose(formula, children);
    default:
      return compare(formula, children[0], children[1]);
  }
}

FormulaId FormulaChecker::sum(const Formula& formula, FormulaId a, FormulaId b) {
  const Type left = type_of(a);
  const Type right = type_of(b);
  const bool adds = formula.operation == Operation::add;
  const std::string verb = adds ? "added to " : "taken from ";
  if (left.kind == Type::Kind::truth || right.kind == Type::Kind::truth) {
    return mismatch(formula.span, "A condition cannot be " + verb + "anything.");
  }
  if (left.kind == Type::Kind::date || right.kind == Type::Kind::date) {
    return date_sum(formula, a, b);
  }
  const bool left_scale = left.kind == Type::Kind::temperature;
  const bool right_scale = right.kind == Type::Kind::temperature;
  if (left_scale || right_scale) {
    if (left_scale && right_scale && !adds) {
      return apply(Operation::subtract, Type::quantity(units::temperature), formula.span, {a, b});
    }
    const Type& other = left_scale ? right : left;
    if (left_scale != right_scale && other.kind == Type::Kind::quantity &&
        other.dimension == units::temperature && (left_scale || adds)) {
      return apply(formula.operation, Type::temperature(), formula.span, {a, b});
    }
    return mismatch(formula.span,
                    "On a temperature only a difference of temperatures can be " +
                        std::string(adds ? "added." : "taken off."),
                    "Write the difference as `5 degC_difference`.");
  }
  if (!alike(left, right)) {
    return mismatch(formula.span,
                    "Here " + describe(right) + " would be " + verb + describe(left) + ".",
                    "Only values of one kind can be added.");
  }
  Type type = left.loose ? right : left;
  type.loose = left.loose && right.loose;
  return apply(formula.operation, type, formula.span, {a, b});
}

FormulaId FormulaChecker::date_sum(const Formula& formula, FormulaId a, FormulaId b) {
  const Type left = type_of(a);
  const Type right = type_of(b);
  const bool adds = formula.operation == Operation::add;
  const FormulaId day = constant(seconds_a_day, Type::quantity(units::time), formula.span);
  const auto in_days = [&](FormulaId id) {
    return apply(Operation::divide, Type::quantity(units::number), formula.span, {id, day});
  };
  if (left.kind == Type::Kind::date && right.kind == Type::Kind::date) {
    if (adds) return mismatch(formula.span, "Two dates cannot be added.");
    const FormulaId days =
        apply(Operation::subtract, Type::quantity(units::number), formula.span, {a, b});
    return apply(Operation::multiply, Type::quantity(units::time), formula.span, {days, day});
  }
  const bool date_first = left.kind == Type::Kind::date;
  const Type& other = date_first ? right : left;
  if (other.kind != Type::Kind::quantity || other.dimension != units::time ||
      (!date_first && !adds)) {
    return mismatch(formula.span,
                    "To a date only a length of time can be added, or taken off it; this is " +
                        describe(other) + ".",
                    other.loose ? "Write the unit, such as `days`." : "");
  }
  const FormulaId length = in_days(date_first ? b : a);
  return apply(formula.operation, Type::date(), formula.span, {date_first ? a : b, length});
}

FormulaId FormulaChecker::product(const Formula& formula, FormulaId a, FormulaId b) {
  const Type left = type_of(a);
  const Type right = type_of(b);
  for (const Type& type : {left, right}) {
    if (type.kind == Type::Kind::quantity) continue;
    const std::string advice = type.kind == Type::Kind::temperature
                                   ? "Take the difference of two temperatures first."
                                   : "";
    return mismatch(formula.span,
                    std::string("There is no ") +
                        (formula.operation == Operation::multiply ? "multiple" : "quotient") +
                        " of " + describe(type) + ".",
                    advice);
  }
  Type type =
      Type::quantity(formula.operation == Operation::multiply ? left.dimension * right.dimension
                                                              : left.dimension / right.dimension);
  type.loose = left.loose && right.loose;
  return apply(formula.operation, type, formula.span, {a, b});
}

FormulaId FormulaChecker::power(const Formula& formula, FormulaId a, FormulaId b) {
  const Type base = type_of(a);
  const Node& exponent = protocol_.node(b);
  if (base.kind != Type::Kind::quantity || !is_number(exponent.type)) {
    return mismatch(formula.span, "A power is a quantity raised to a plain number.");
  }
  Type type = base;
  if (!base.dimension.is_number()) {
    const int whole = static_cast<int>(std::clamp(exponent.value, -9.0, 9.0));
    if (exponent.kind != Node::Kind::constant || exponent.value != whole) {
      return mismatch(formula.span, "A quantity with a unit is raised to a written whole number.",
                      "Such as `width ^ 2`.");
    }
    type.dimension = base.dimension.to_power(whole);
  }
  return apply(Operation::power, type, formula.span, {a, b});
}

FormulaId FormulaChecker::compare(const Formula& formula, FormulaId a, FormulaId b) {
  const Type left = type_of(a);
  const Type right = type_of(b);
  if (left.kind == Type::Kind::truth || !alike(left, right)) {
    std::string advice;
    if (left.loose || right.loose) advice = "Write the unit of the number.";
    return mismatch(formula.span,
                    describe(left) + " cannot be compared with " + describe(right) + ".", advice);
  }
  return apply(formula.operation, Type::truth(), formula.span, {a, b});
}

FormulaId FormulaChecker::logic(const Formula& formula, const std::vector<FormulaId>& children) {
  for (std::size_t i = 0; i < children.size(); ++i) {
    const Type type = type_of(children[i]);
    if (type.kind == Type::Kind::truth) continue;
    return mismatch(formula.arguments[i].span,
                    "`and`, `or` and `not` want conditions, but this is " + describe(type) + ".");
  }
  if (children.size() == 1) {
    return apply(formula.operation, Type::truth(), formula.span, {children[0]});
  }
  return apply(formula.operation, Type::truth(), formula.span, {children[0], children[1]});
}

FormulaId FormulaChecker::choose(const Formula& formula, const std::vector<FormulaId>& children) {
  if (type_of(children[0]).kind != Type::Kind::truth) {
    return mismatch(formula.arguments[0].span,
                    "`if` wants a condition, but this is " + describe(type_of(children[0])) + ".");
  }
  const Type yes = type_of(children[1]);
  const Type no = type_of(children[2]);
  if (!alike(yes, no)) {
    return mismatch(formula.span,
                    "`then` gives " + describe(yes) + ", but `else` gives " + describe(no) + ".");
  }
  Type type = yes.loose ? no : yes;
  type.loose = yes.loose && no.loose;
  return apply(Operation::choose, type, formula.span, {children[0], children[1], children[2]});
}

}  // namespace budwood::language
