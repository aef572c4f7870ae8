#include <algorithm>
#include <map>

#include "language/formulas/formula_checker.hpp"

/// Calls in formulas: the functions of the language and look-ups in tables.
namespace budwood::language {

namespace {

/// Functions that take one value and give one of the same kind.
const std::map<std::string, Operation>& rounding_functions() {
  static const std::map<std::string, Operation> functions{
      {"round", Operation::round},
      {"ceil", Operation::ceil},
      {"floor", Operation::floor},
  };
  return functions;
}

const std::map<std::string, Operation>& number_functions() {
  static const std::map<std::string, Operation> functions{
      {"exp", Operation::exponential},
      {"ln", Operation::logarithm},
  };
  return functions;
}

const std::map<std::string, std::size_t>& argument_counts() {
  static const std::map<std::string, std::size_t> counts{
      {"round", 1},
      {"ceil", 1},
      {"floor", 1},
      {"abs", 1},
      {"sqrt", 1},
      {"exp", 1},
      {"ln", 1},
      {"vpd", 2},
      {"light_sum", 2},
      {"dilution", 3},
      {"dissolve", 2},
      {"dew_point", 2},
      {"absolute_humidity", 2},
      {"photon_flux", 2},
      {"degree_days", 3},
  };
  return counts;
}

}  // namespace

bool is_function(const std::string& name) {
  return argument_counts().contains(name) || name == "min" || name == "max";
}

bool FormulaChecker::accepts(const syntax::Formula& formula, std::size_t index, FormulaId argument,
                             const Type& wanted) {
  if (alike(type_of(argument), wanted)) return true;
  mismatch(formula.arguments[index].span, "`" + formula.name.text + "` wants " + describe(wanted) +
                                              " here, but this is " + describe(type_of(argument)) +
                                              ".");
  return false;
}

FormulaId FormulaChecker::call(const syntax::Formula& formula) {
  if (formula.name.text == "photon_flux") return lamp_flux(formula);
  std::vector<FormulaId> arguments;
  for (const syntax::Formula& argument : formula.arguments) arguments.push_back(check(argument));
  const std::string& name = formula.name.text;
  if (!is_function(name)) {
    std::vector<std::string> functions{"min", "max"};
    for (const auto& [known, count] : argument_counts()) functions.push_back(known);
    const auto table = scope_.find(formula.name, {Declared::Kind::table}, "a function or table",
                                   diagnostics_, functions);
    if (!table) return no_formula;
    return look_up(formula, *table, arguments);
  }
  if (std::find(arguments.begin(), arguments.end(), no_formula) != arguments.end()) {
    return no_formula;
  }
  const auto wanted = argument_counts().find(name);
  if (wanted != argument_counts().end() ? arguments.size() != wanted->second
                                        : arguments.size() < 2) {
    const std::string number = wanted == argument_counts().end() ? "two or more values"
                               : wanted->second == 1             ? "one value"
                               : wanted->second == 2             ? "two values"
                                                                 : "three values";
    diagnostics_.error("argument-count", formula.span, "`" + name + "` takes " + number + ".");
    return no_formula;
  }
  return built_in(formula, arguments);
}

/// dilution(stock, wanted, volume): how much of the stock gives that volume at the wanted strength.
/// As much is in it before as after: C1 V1 = C2 V2.
FormulaId FormulaChecker::dilution(const syntax::Formula& formula,
                                   const std::vector<FormulaId>& arguments) {
  const Type stock = type_of(arguments[0]);
  const Type amount = type_of(arguments[2]);
  if (!accepts(formula, 1, arguments[1], stock)) return no_formula;
  if (amount.kind != Type::Kind::quantity || stock.kind != Type::Kind::quantity) {
    return mismatch(formula.span, "`dilution` wants two strengths and how much there is to be.",
                    "Such as: dilution(12 %, 0.5 %, 10 L)");
  }
  const Node& strong = protocol_.node(arguments[0]);
  const Node& weak = protocol_.node(arguments[1]);
  if (strong.kind == Node::Kind::constant && weak.kind == Node::Kind::constant &&
      weak.value > strong.value) {
    diagnostics_.error("out-of-range", formula.span,
                       "What is mixed from a stock is never stronger than the stock.",
                       "The stock comes first: dilution(12 %, 0.5 %, 10 L)");
    return no_formula;
  }
  const Type share = Type::quantity(units::number);
  const FormulaId part =
      apply(Operation::divide, share, formula.span, {arguments[1], arguments[0]});
  return apply(Operation::multiply, amount, formula.span, {part, arguments[2]});
}

/// dissolve(strength, volume): what to weigh for a share by weight in so much water, which weighs 1
/// kg a litre (1 ppm is 1 mg/L, 1 % is 10 g/L).
FormulaId FormulaChecker::dissolve(const syntax::Formula& formula,
                                   const std::vector<FormulaId>& arguments) {
  if (!accepts(formula, 0, arguments[0], Type::quantity(units::number)) ||
      !accepts(formula, 1, arguments[1], Type::quantity(units::volume))) {
    return no_formula;
  }
  constexpr double water = 1000;  // kg/m3
  const FormulaId density =
      constant(water, Type::quantity(units::mass / units::volume), formula.span);
  const Type weight = Type::quantity(units::mass);
  const FormulaId all = apply(Operation::multiply, weight, formula.span, {arguments[1], density});
  return apply(Operation::multiply, weight, formula.span, {arguments[0], all});
}

FormulaId FormulaChecker::built_in(const syntax::Formula& formula,
                                   const std::vector<FormulaId>& arguments) {
  const std::string& name = formula.name.text;
  const Type first = type_of(arguments[0]);
  const auto unary = [&](Operation operation, const Type& type) {
    return apply(operation, type, formula.span, {arguments[0]});
  };
  if (name == "min" || name == "max") {
    const Operation operation = name == "min" ? Operation::minimum : Operation::maximum;
    FormulaId out = arguments[0];
    for (std::size_t i = 1; i < arguments.size(); ++i) {
      if (first.kind == Type::Kind::truth || !accepts(formula, i, arguments[i], type_of(out))) {
        return no_formula;
      }
      Type type = type_of(out).loose ? type_of(arguments[i]) : type_of(out);
      out = apply(operation, type, formula.span, {out, arguments[i]});
    }
    return out;
  }
  if (rounding_functions().contains(name)) {
    const bool countable = first.kind == Type::Kind::quantity &&
                           (first.dimension.is_number() || first.dimension == units::count);
    if (!countable) {
      return mismatch(
          formula.span,
          "`" + name + "` rounds counts and plain numbers, but this is " + describe(first) + ".",
          "Divide by the step first, such as ceil(length / (1 m)).");
    }
    return unary(rounding_functions().at(name), first);
  }
  if (number_functions().contains(name)) {
    if (!accepts(formula, 0, arguments[0], Type::quantity(units::number))) return no_formula;
    return unary(number_functions().at(name), Type::quantity(units::number));
  }
  if (name == "abs") {
    if (first.kind != Type::Kind::quantity) {
      return mismatch(formula.span, "There is no size of " + describe(first) + ".");
    }
    return unary(Operation::absolute, first);
  }
  if (name == "sqrt") {
    const auto root =
        first.kind == Type::Kind::quantity ? first.dimension.square_root() : std::nullopt;
    if (!root) return mismatch(formula.span, "There is no square root of " + describe(first) + ".");
    return unary(Operation::square_root, Type::quantity(*root));
  }
  if (name == "dilution") return dilution(formula, arguments);
  if (name == "dissolve") return dissolve(formula, arguments);
  return climate_function(formula, arguments).value_or(no_formula);
}

FormulaId FormulaChecker::look_up(const syntax::Formula& formula, const Declared& declared,
                                  const std::vector<FormulaId>& arguments) {
  if (arguments.size() != 1) {
    diagnostics_.error(
        "argument-count", formula.span,
        "A table is looked up with one value, such as `" + formula.name.text + "(20)`.");
    return no_formula;
  }
  if (arguments[0] == no_formula) return no_formula;
  const Table& table = protocol_.tables[static_cast<std::size_t>(declared.index)];
  if (!accepts(formula, 0, arguments[0], table.argument)) return no_formula;
  Node node;
  node.kind = Node::Kind::look_up;
  node.target = declared.index;
  node.children[0] = arguments[0];
  node.type = table.result;
  node.span = formula.span;
  return add(node);
}

}  // namespace budwood::language
