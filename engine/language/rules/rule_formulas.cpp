#include <cmath>
#include <limits>

#include "language/check/hazard.hpp"
#include "language/formulas/formula_checker.hpp"
#include "language/rules/rule_scope.hpp"

/// What only the formulas of rules can say: features, selections, and values of what a variable
/// stands for.
namespace budwood::language {

namespace {

constexpr double no_value = std::numeric_limits<double>::quiet_NaN();

}  // namespace

bool FormulaChecker::is_variable(const syntax::Name& name) const {
  return rules_ != nullptr && rules_->knows(name.text);
}

/// What is the same for every batch is decided here, so that a rule leaves only what is not.
/// `both` and `either` are decided by one side when that is enough; otherwise no value travels.
std::optional<double> FormulaChecker::decided(Operation operation,
                                              std::initializer_list<FormulaId> children) const {
  if (rules_ == nullptr) return std::nullopt;
  std::vector<std::optional<double>> known;
  bool missing = false;
  for (const FormulaId child : children) {
    const Node& node = protocol_.node(child);
    known.push_back(node.kind == Node::Kind::constant ? std::optional(node.value) : std::nullopt);
    missing = missing || (known.back() && std::isnan(*known.back()));
  }
  if (operation == Operation::both || operation == Operation::either) {
    const double enough = operation == Operation::either ? 1 : 0;
    if (known[0] == enough || known[1] == enough) return enough;
    if (!known[0] || !known[1]) return std::nullopt;
    return missing ? no_value : 1 - enough;
  }
  if (operation == Operation::if_known) return missing ? std::optional(0.0) : known[0];
  if (missing) return no_value;
  if (operation == Operation::invert && known[0]) return *known[0] == 0 ? 1.0 : 0.0;
  return std::nullopt;
}

FormulaId FormulaChecker::truth(bool value, const text::Span& span) {
  const FormulaId id = constant(value ? 1 : 0, Type::truth(), span);
  protocol_.nodes.back().written = Node::Written::formula;
  return id;
}

/// Both, where one side may be left out.
FormulaId FormulaChecker::join(Operation operation, FormulaId a, FormulaId b) {
  if (a == no_formula) return b;
  // A side that is certain to let the other decide is not needed.
  const auto neutral = [&](FormulaId id) {
    const Node& node = protocol_.node(id);
    return node.kind == Node::Kind::constant &&
           node.value == (operation == Operation::both ? 1 : 0);
  };
  if (neutral(a)) return b;
  if (neutral(b)) return a;
  return apply(operation, Type::truth(), protocol_.node(b).span, {a, b});
}

FormulaId FormulaChecker::variable_member(const syntax::Formula& formula) {
  std::size_t used = 0;
  const auto thing = rules_->follow(formula.name, formula.members, used);
  if (!thing) return no_formula;
  if (used == formula.members.size()) {
    diagnostics_.error("wrong-kind", formula.span,
                       "This is " + describe(thing->kind) + ", not a value.",
                       "Ask for something of it, such as `.humidity.first` of a stage.");
    return no_formula;
  }
  const syntax::Name& word = formula.members[used];
  if (rules_->words(*thing, word.text)) {
    diagnostics_.error("wrong-kind", word.span,
                       "`" + word.text + "` is text, which stands in messages only.",
                       "Write it in a message, in braces.");
    return no_formula;
  }
  if (thing->kind != syntax::Selection::Kind::stage) {
    diagnostics_.error(
        "unknown-name", word.span,
        "A rule cannot ask for `" + word.text + "` of " + describe(thing->kind) + ".",
        "Values belong to stages, such as `w.stage.humidity.first`.");
    return no_formula;
  }
  if (const MeasureFacts* measure = find_measure(word.text)) {
    return reading(formula, thing->stage, *measure, used + 1);
  }
  const bool more = used + 1 < formula.members.size() || formula.day;
  return property(formula, thing->stage, word, more);
}

std::optional<std::string> FormulaChecker::plain_text(const syntax::Formula& path) {
  if (!is_variable(path.name)) return std::nullopt;
  std::size_t used = 0;
  const auto thing = rules_->follow(path.name, path.members, used);
  if (!thing) return std::nullopt;
  if (used == path.members.size()) return rules_->words(*thing, "title");
  if (used + 1 < path.members.size()) return std::nullopt;
  return rules_->words(*thing, path.members[used].text);
}

FormulaId FormulaChecker::has(const syntax::Formula& formula) {
  if (rules_ == nullptr) {
    diagnostics_.error("misplaced", formula.span, "`has` is asked in rules only.");
    return no_formula;
  }
  std::size_t used = 0;
  const auto thing = rules_->follow(formula.name, {}, used);
  if (!thing) return no_formula;
  const auto answer = rules_->has(*thing, formula.members);
  const syntax::Name& feature = formula.members.back();
  if (!answer) {
    const auto known =
        formula.members.size() > 1 ? hazard_names() : RuleScope::features(thing->kind);
    std::string advice = text::did_you_mean(feature.text, known);
    if (advice.empty()) advice = "It may have " + text::list_words(known) + ".";
    diagnostics_.error("unknown-name", feature.span,
                       "`" + formula.name.text + "` is " + describe(thing->kind) +
                           ", which never has `" + feature.text + "`.",
                       advice);
    return no_formula;
  }
  if (!formula.day) return truth(*answer, formula.span);
  const bool mist = feature.text == "mist";
  const MeasureFacts* measure = find_measure(mist ? "mist_time" : feature.text);
  if (measure == nullptr) {
    diagnostics_.error("misplaced", formula.day->span,
                       "Only the climate of a stage is had on a day.", "Leave the day out.");
    return no_formula;
  }
  if (!*answer && !rules_->sampling()) return truth(false, formula.span);
  Reading reading;
  reading.stage = thing->stage;
  reading.measure = measure->measure;
  reading.is_set = true;
  reading.moment = Reading::Moment::day;
  reading.day = {formula.day->last, formula.day->day, formula.day->span};
  return add(reading, formula.span);
}

FormulaId FormulaChecker::choose_of(const syntax::Formula& formula) {
  if (rules_ == nullptr) {
    diagnostics_.error("misplaced", formula.span,
                       "`some`, `no`, `every` and `count of` are asked in rules only.");
    return no_formula;
  }
  const syntax::Selection& selection = *formula.selection;
  const auto things = rules_->select(selection);
  if (!things) return no_formula;
  const bool every = formula.quantifier == syntax::Quantifier::every;
  const bool count = formula.quantifier == syntax::Quantifier::count;
  FormulaId out =
      count ? constant(0, Type::quantity(units::number), formula.span) : truth(every, formula.span);
  for (const Thing& thing : *things) {
    if (selection.variable && !rules_->bind(*selection.variable, thing)) return no_formula;
    const FormulaId one = meets(formula, every);
    if (selection.variable) rules_->release(*selection.variable);
    if (one == no_formula) return no_formula;
    out = count ? add_one(out, one) : join(every ? Operation::both : Operation::either, out, one);
  }
  if (count) {
    protocol_.nodes[static_cast<std::size_t>(out)].type.loose = true;
  } else if (formula.quantifier == syntax::Quantifier::none) {
    out = apply(Operation::invert, Type::truth(), formula.span, {out});
  }
  return out;
}

/// Whether one of a selection counts: `where`; or, for `every`, that it meets what it should. What
/// has no value is not counted, and is not in the way of `every`.
FormulaId FormulaChecker::meets(const syntax::Formula& formula, bool every) {
  FormulaId where = truth(true, formula.span);
  if (formula.has_where) where = condition(formula.arguments.front(), "`where`");
  if (where == no_formula) return no_formula;
  where = one_condition(Operation::if_known, where);
  if (!every) return where;
  const FormulaId met = condition(formula.arguments.back(), "`meets`");
  if (met == no_formula) return no_formula;
  const FormulaId fails = one_condition(Operation::if_known, one_condition(Operation::invert, met));
  return implies(where, one_condition(Operation::invert, fails));
}

FormulaId FormulaChecker::one_condition(Operation operation, FormulaId of) {
  return apply(operation, Type::truth(), protocol_.node(of).span, {of});
}

FormulaId FormulaChecker::implies(FormulaId guard, FormulaId met) {
  return join(Operation::either, one_condition(Operation::invert, guard), met);
}

FormulaId FormulaChecker::condition(const syntax::Formula& formula, const std::string& what) {
  return check(formula, Type::truth(), what);
}

FormulaId FormulaChecker::add_one(FormulaId total, FormulaId one) {
  const Node& node = protocol_.node(one);
  const Node& sum = protocol_.node(total);
  const Type number = Type::quantity(units::number);
  const text::Span span = node.span;
  if (node.kind == Node::Kind::constant && sum.kind == Node::Kind::constant) {
    return constant(sum.value + node.value, number, span);
  }
  const FormulaId added = apply(Operation::choose, number, span,
                                {one, constant(1, number, span), constant(0, number, span)});
  return apply(Operation::add, number, span, {total, added});
}

}  // namespace budwood::language
