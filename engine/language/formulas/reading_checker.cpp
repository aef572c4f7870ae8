#include <limits>
#include <map>

#include "language/formulas/formula_checker.hpp"
#include "language/rules/rule_scope.hpp"

/// What formulas ask of the climate of a stage: `healing.humidity.last`.
namespace budwood::language {

namespace {

using Moment = Reading::Moment;

const std::map<std::string, Moment>& moments() {
  static const std::map<std::string, Moment> all{
      {"first", Moment::first},
      {"last", Moment::last},
      {"lowest", Moment::lowest},
      {"highest", Moment::highest},
      {"largest_fall", Moment::largest_fall},
      {"largest_rise", Moment::largest_rise},
      {"step", Moment::step},
  };
  return all;
}

/// A change is a difference, which a temperature on a scale is not.
Type type_of(const MeasureFacts& measure, Moment moment) {
  const bool change =
      moment == Moment::largest_fall || moment == Moment::largest_rise || moment == Moment::step;
  if (change && measure.type.kind == Type::Kind::temperature) {
    return Type::quantity(units::temperature);
  }
  return measure.type;
}

}  // namespace

FormulaId FormulaChecker::add(Reading reading, const text::Span& span) {
  Node node;
  node.kind = Node::Kind::reading;
  node.target = static_cast<std::int32_t>(protocol_.readings.size());
  node.type =
      reading.is_set ? Type::truth() : language::type_of(facts_of(reading.measure), reading.moment);
  node.span = span;
  reading.span = span;
  protocol_.readings.push_back(reading);
  return add(node);
}

/// `next`: which of the members follows the measure.
FormulaId FormulaChecker::reading(const syntax::Formula& formula, std::int32_t stage,
                                  const MeasureFacts& measure, std::size_t next) {
  Reading reading;
  reading.stage = StageId(stage);
  reading.measure = measure.measure;
  const std::vector<syntax::Name>& words = formula.members;
  if (next < words.size() && (words[next].text == "day" || words[next].text == "night")) {
    reading.half = words[next].text == "day" ? Half::day : Half::night;
    ++next;
  }
  if (formula.day) {
    reading.moment = Moment::day;
    reading.day = {formula.day->last, formula.day->day, formula.day->span};
  } else if (next < words.size()) {
    const auto found = moments().find(words[next].text);
    if (found != moments().end()) {
      reading.moment = found->second;
      ++next;
    } else {
      std::vector<std::string> near;
      for (const auto& [word, moment] : moments()) near.push_back(word);
      std::string advice = text::did_you_mean(words[next].text, near);
      if (advice.empty()) advice = "It has " + text::list_words(near, "and") + ".";
      diagnostics_.error("unknown-name", words[next].span,
                         "`" + measure.name + "` has no `" + words[next].text + "`.", advice);
      return no_formula;
    }
  } else {
    diagnostics_.error("unknown-name", formula.span,
                       "`" + measure.name + "` may change from day to day.",
                       "Say when, such as `" + std::string(text::text_of(formula.span)) +
                           ".first`, `.last`, `.lowest`, or `" +
                           std::string(text::text_of(formula.span)) + " on day 3`.");
    return no_formula;
  }
  if (next < words.size()) {
    diagnostics_.error("unknown-name", words[next].span,
                       "Nothing stands behind a value such as this.", "Leave it out.");
    return no_formula;
  }
  const Stage& asked = protocol_.stages[reading.stage];
  if (rules_ != nullptr && !rules_->sampling() && !sets(asked, reading.measure)) {
    // A rule has nothing to say of what a stage does not set.
    return constant(std::numeric_limits<double>::quiet_NaN(),
                    language::type_of(measure, reading.moment), formula.span);
  }
  return add(reading, formula.span);
}

}  // namespace budwood::language
