#include <algorithm>
#include <array>

#include "language/formulas/formula_checker.hpp"

/// Calls in formulas: the functions of the language and look-ups in tables.
namespace budwood::language {

namespace {

/// Functions that are made of several operations, and how many values they take.
constexpr std::array<std::pair<std::string_view, std::size_t>, 3> composed{
    {{"dilution", 3}, {"dissolve", 2}, {"degree_days", 3}}};

/// The operation that a call of this name is; nothing where it is none, or several.
std::optional<Operation> operation_called(const std::string& name) {
  const auto found = find_operation(name);
  return found && facts_of(*found).is_function() ? found : std::nullopt;
}

bool takes_any_number(Operation operation) {
  return operation == Operation::minimum || operation == Operation::maximum;
}

/// How many values a function takes; of `min` and `max` two or more.
std::optional<std::size_t> arguments_of(const std::string& name) {
  if (const auto operation = operation_called(name)) return facts_of(*operation).arguments;
  for (const auto& [known, count] : composed) {
    if (known == name) return count;
  }
  return std::nullopt;
}

std::vector<std::string> function_names() {
  std::vector<std::string> out;
  for (const OperationFacts& one : operations) {
    if (one.is_function()) out.emplace_back(one.written);
  }
  for (const auto& [name, count] : composed) out.emplace_back(name);
  return out;
}

}  // namespace

bool is_function(const std::string& name) {
  return arguments_of(name).has_value();
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
  if (const Table* table = table_by_word(formula)) return look_up_word(formula, *table);
  std::vector<FormulaId> arguments;
  for (const syntax::Formula& argument : formula.arguments) arguments.push_back(check(argument));
  const std::string& name = formula.name.text;
  if (!is_function(name)) {
    const auto table = scope_.find(formula.name, {Declared::Kind::table}, "a function or table",
                                   diagnostics_, function_names());
    if (!table) return no_formula;
    return look_up(formula, *table, arguments);
  }
  if (std::find(arguments.begin(), arguments.end(), no_formula) != arguments.end()) {
    return no_formula;
  }
  const std::size_t wanted = arguments_of(name).value();
  const auto operation = operation_called(name);
  const bool more = operation && takes_any_number(*operation);
  if (more ? arguments.size() < wanted : arguments.size() != wanted) {
    const std::string number = more          ? "two or more values"
                               : wanted == 1 ? "one value"
                               : wanted == 2 ? "two values"
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
  if (name == "dilution") return dilution(formula, arguments);
  if (name == "dissolve") return dissolve(formula, arguments);
  const auto known = operation_called(name);
  if (!known) return climate_function(formula, arguments).value_or(no_formula);
  const Operation operation = *known;
  const auto unary = [&](const Type& type) {
    return apply(operation, type, formula.span, {arguments[0]});
  };
  if (takes_any_number(operation)) {
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
  const bool rounds = operation == Operation::round || operation == Operation::ceil ||
                      operation == Operation::floor;
  if (rounds) {
    const bool countable = first.kind == Type::Kind::quantity &&
                           (first.dimension.is_number() || first.dimension == units::count);
    if (!countable) {
      return mismatch(
          formula.span,
          "`" + name + "` rounds counts and plain numbers, but this is " + describe(first) + ".",
          "Divide by the step first, such as ceil(length / (1 m)).");
    }
    return unary(first);
  }
  if (operation == Operation::exponential || operation == Operation::logarithm) {
    if (!accepts(formula, 0, arguments[0], Type::quantity(units::number))) return no_formula;
    return unary(Type::quantity(units::number));
  }
  if (operation == Operation::absolute) {
    if (first.kind != Type::Kind::quantity) {
      return mismatch(formula.span, "There is no size of " + describe(first) + ".");
    }
    return unary(first);
  }
  if (operation == Operation::square_root) {
    const auto root =
        first.kind == Type::Kind::quantity ? first.dimension.square_root() : std::nullopt;
    if (!root) return mismatch(formula.span, "There is no square root of " + describe(first) + ".");
    return unary(Type::quantity(*root));
  }
  return climate_function(formula, arguments).value_or(no_formula);
}

/// The table by word that a formula looks into; nullptr where it does not.
const Table* FormulaChecker::table_by_word(const syntax::Formula& formula) const {
  const auto found = std::find_if(protocol_.tables.begin(), protocol_.tables.end(),
                                  [&](const Table& one) { return one.name == formula.name.text; });
  return found == protocol_.tables.end() || found->words.empty() ? nullptr : &*found;
}

/// What the table has for the word is as good as written here.
FormulaId FormulaChecker::look_up_word(const syntax::Formula& formula, const Table& table) {
  scope_.find(formula.name, {Declared::Kind::table}, "a table", diagnostics_);
  const bool word =
      formula.arguments.size() == 1 && formula.arguments[0].kind == syntax::Formula::Kind::name;
  if (!word) {
    diagnostics_.error("wrong-kind", formula.span,
                       "`" + table.name + "` is looked up by one of its words.",
                       "Such as: " + table.name + "(" + table.words.front() + ")");
    return no_formula;
  }
  std::string advice;
  const syntax::Name& wanted = formula.arguments[0].name;
  const auto value = language::look_up_word(table, wanted.text, advice);
  if (!value) {
    diagnostics_.error("unknown-name", wanted.span,
                       "`" + table.name + "` has nothing for `" + wanted.text + "`.", advice);
    return no_formula;
  }
  Node node;
  node.kind = Node::Kind::constant;
  node.value = *value;
  node.type = table.result;
  node.span = formula.span;
  return add(node);
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
