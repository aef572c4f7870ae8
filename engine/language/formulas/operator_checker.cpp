#include <algorithm>

#include "language/formulas/formula_checker.hpp"
#include "units/units.hpp"

/// Operators in formulas: what they take, and what they give.
namespace budwood::language {

namespace {

bool is_number(const Type& type) {
  return type.kind == Type::Kind::quantity && type.dimension.is_number();
}

std::string capital(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

/// "14-26 days", "90-95 %": two written numbers of which only the second has a unit are a range.
/// "1 - 8 %" is what a loss of 8 % leaves.
bool looks_like_range(const syntax::Formula& formula) {
  using Kind = syntax::Formula::Kind;
  const syntax::Formula& first = formula.arguments[0];
  const syntax::Formula& second = formula.arguments[1];
  if (first.kind != Kind::number || second.kind != Kind::number) return false;
  if (!first.name.text.empty() || !second.name.text.empty()) return false;
  return first.unit.text.empty() && !second.unit.text.empty() && first.number > 1;
}

}  // namespace

FormulaId FormulaChecker::operate(const syntax::Formula& formula) {
  std::vector<FormulaId> children;
  for (const syntax::Formula& argument : formula.arguments) children.push_back(check(argument));
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
      return compare(formula.operation, formula.span, children[0], children[1]);
  }
}

FormulaId FormulaChecker::sum(const syntax::Formula& formula, FormulaId a, FormulaId b) {
  const Type left = type_of(a);
  const Type right = type_of(b);
  const bool adds = formula.operation == Operation::add;
  if (!adds && looks_like_range(formula)) {
    return mismatch(formula.span, "This takes the second number off the first.",
                    "A range is written with `to`, such as: 14 to 26 days");
  }
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
                    "Only values of one kind can be added or taken off.");
  }
  Type type = left.loose ? right : left;
  type.loose = left.loose && right.loose;
  return apply(formula.operation, type, formula.span, {a, b});
}

FormulaId FormulaChecker::date_sum(const syntax::Formula& formula, FormulaId a, FormulaId b) {
  const Type left = type_of(a);
  const Type right = type_of(b);
  const bool adds = formula.operation == Operation::add;
  const FormulaId day = constant(units::seconds_a_day, Type::quantity(units::time), formula.span);
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
  if (!date_first && !adds) {
    return mismatch(formula.span, "A date can be taken from a date only.");
  }
  const Type& other = date_first ? right : left;
  if (other.kind != Type::Kind::quantity || other.dimension != units::time) {
    return mismatch(formula.span,
                    "To a date only a length of time can be added, or taken off it; this is " +
                        describe(other) + ".",
                    other.loose ? "Write the unit, such as `days`." : "");
  }
  const FormulaId length = in_days(date_first ? b : a);
  return apply(formula.operation, Type::date(), formula.span, {date_first ? a : b, length});
}

FormulaId FormulaChecker::product(const syntax::Formula& formula, FormulaId a, FormulaId b) {
  const Type left = type_of(a);
  const Type right = type_of(b);
  for (const Type& type : {left, right}) {
    if (type.kind == Type::Kind::quantity) continue;
    std::string advice = type.kind == Type::Kind::temperature
                             ? "Take the difference of two temperatures first."
                             : "";
    using Kind = syntax::Formula::Kind;
    const bool two_numbers = formula.arguments.size() == 2 &&
                             formula.arguments[0].kind == Kind::number &&
                             formula.arguments[1].kind == Kind::number;
    if (two_numbers && type.kind == Type::Kind::temperature) {
      advice = "Day and night have a line each: `keep air 22 degC by day`.";
    }
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

FormulaId FormulaChecker::power(const syntax::Formula& formula, FormulaId a, FormulaId b) {
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

FormulaId FormulaChecker::compare(Operation operation, const text::Span& span, FormulaId a,
                                  FormulaId b) {
  const Type left = type_of(a);
  const Type right = type_of(b);
  if (left.kind == Type::Kind::truth || !alike(left, right)) {
    std::string advice;
    if (left.loose || right.loose) advice = "Write the unit of the number.";
    if (left.kind == Type::Kind::truth && rules_ != nullptr) {
      advice = "Put brackets round `count of ... where ...`, so that `where` ends there.";
    }
    return mismatch(span,
                    capital(describe(left)) + " cannot be compared with " + describe(right) + ".",
                    advice);
  }
  return apply(operation, Type::truth(), span, {a, b});
}

FormulaId FormulaChecker::between(const syntax::Formula& formula) {
  // The value is worked out twice, so one inside another doubles the work with every level.
  constexpr int deepest = 4;
  if (betweens_ == deepest) {
    diagnostics_.error("too-nested", formula.span, "Too many `between` stand inside each other.",
                       "Split it up with `let`.");
    return no_formula;
  }
  ++betweens_;
  std::vector<FormulaId> values;
  for (const syntax::Formula& argument : formula.arguments) values.push_back(check(argument));
  --betweens_;
  if (std::find(values.begin(), values.end(), no_formula) != values.end()) return no_formula;
  const FormulaId above = compare(Operation::greater_equal, formula.span, values[0], values[1]);
  if (above == no_formula) return no_formula;
  const FormulaId below = compare(Operation::less_equal, formula.span, values[0], values[2]);
  if (below == no_formula) return no_formula;
  return apply(Operation::both, Type::truth(), formula.span, {above, below});
}

FormulaId FormulaChecker::logic(const syntax::Formula& formula,
                                const std::vector<FormulaId>& children) {
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

FormulaId FormulaChecker::choose(const syntax::Formula& formula,
                                 const std::vector<FormulaId>& children) {
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
