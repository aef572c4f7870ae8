#include <algorithm>

#include "language/check/stage_checker.hpp"

/// Checks conditions on observations, in gates and in `if`: what is looked at, what it is held
/// against, and that somebody looks.
namespace budwood::language {

namespace {

Sight::Is relation_of(const syntax::Formula& formula) {
  if (formula.kind == syntax::Formula::Kind::between) return Sight::Is::between;
  switch (formula.operation) {
    case Operation::less:
      return Sight::Is::below;
    case Operation::less_equal:
      return Sight::Is::at_most;
    case Operation::equal:
      return Sight::Is::equal;
    case Operation::unequal:
      return Sight::Is::unequal;
    case Operation::greater:
      return Sight::Is::above;
    default:
      return Sight::Is::at_least;
  }
}

bool is_joined(const syntax::Formula& formula, Operation by) {
  return formula.kind == syntax::Formula::Kind::apply && formula.operation == by;
}

constexpr std::size_t most_ways = 64;  ///< that `and` may make: nobody looks at so many

/// Every way of one with every way of the other: `a and (b or c)` is `a and b or a and c`.
Sights both(const Sights& one, const Sights& other) {
  Sights out;
  for (const auto& a : one) {
    for (const auto& b : other) {
      out.push_back(a);
      out.back().insert(out.back().end(), b.begin(), b.end());
    }
  }
  return out;
}

bool records(const Stage& stage, const std::string& name) {
  return std::any_of(stage.works.begin(), stage.works.end(), [&](const Work& work) {
    return std::any_of(work.records.begin(), work.records.end(),
                       [&](const Record& record) { return record.name == name; });
  });
}

}  // namespace

/// `bark_slips`, `callus >= 80 %` or `leaves between 2 and 4`, several of them with `and` and `or`.
Sights StageChecker::observed(const syntax::Formula& condition, const ConditionForm& form,
                              std::vector<ObservationId>& observations) {
  if (is_joined(condition, Operation::either)) {
    Sights out = observed(condition.arguments[0], form, observations);
    const Sights other = observed(condition.arguments[1], form, observations);
    out.insert(out.end(), other.begin(), other.end());
    return out;
  }
  if (is_joined(condition, Operation::both)) {
    const Sights one = observed(condition.arguments[0], form, observations);
    const Sights other = observed(condition.arguments[1], form, observations);
    if (one.size() * other.size() <= most_ways) return both(one, other);
    diagnostics_.error(
        "gate-ways", condition.span,
        form.what + " can be met in " + std::to_string(one.size() * other.size()) +
            " ways here, each `or` with each; at most " + std::to_string(most_ways) +
            " are told apart.",
        "Let people judge part of it by eye, as an observation of its own, such as: " +
            form.keyword + " ready_to_pot" + form.tail);
    return {};
  }
  const std::optional<Sight> found = sight(condition, form, observations);
  if (!found) return {};
  return {{*found}};
}

std::optional<Sight> StageChecker::sight(const syntax::Formula& condition,
                                         const ConditionForm& form,
                                         std::vector<ObservationId>& observations) {
  const bool negated = form.negated && is_joined(condition, Operation::invert);
  const syntax::Formula& looked_at = negated ? condition.arguments[0] : condition;
  const bool seen = looked_at.kind == syntax::Formula::Kind::name;
  const bool relates =
      looked_at.kind == syntax::Formula::Kind::between ||
      (looked_at.kind == syntax::Formula::Kind::apply && is_relation(looked_at.operation));
  const bool compares =
      !negated && relates && looked_at.arguments[0].kind == syntax::Formula::Kind::name;
  if (!seen && !compares) {
    diagnostics_.error("gate-form", condition.span,
                       form.what + " holds an observation against a value.",
                       "Write it like: " + form.keyword + " callus >= 80 %" + form.tail);
    return std::nullopt;
  }
  const auto id = observation(seen ? looked_at.name : looked_at.arguments[0].name, observations);
  if (!id) return std::nullopt;
  const Observation& held = protocol_.observations[*id];
  if (seen == held.has_unit) {
    diagnostics_.error("gate-form", condition.span,
                       "`" + held.name + "` is " +
                           (seen ? "a number: hold it against a value."
                                 : "seen or not seen: it has no number to compare."),
                       seen ? "Such as: " + form.keyword + " " + held.name + " >= 80 " +
                                  held.unit.symbol + form.tail
                            : "Write it like: " + form.keyword + " " + held.name + form.tail);
    return std::nullopt;
  }
  Sight out{*id, seen ? Sight::Is::seen : relation_of(looked_at), negated};
  for (std::size_t i = 1; i < looked_at.arguments.size(); ++i) {
    (i == 1 ? out.low : out.high) = measuring(looked_at.arguments[i], held, observations);
  }
  return out;
}

std::optional<ObservationId> StageChecker::observation(const syntax::Name& name,
                                                       std::vector<ObservationId>& observations) {
  const auto found =
      scope_.find(name, {Declared::Kind::observation}, "an observation", diagnostics_);
  if (!found) return std::nullopt;
  const ObservationId id(found->index);
  if (std::find(observations.begin(), observations.end(), id) == observations.end()) {
    observations.push_back(id);
  }
  return id;
}

/// `80 %`, `stock_stem`, `0.9 * stock_stem` or `stock_stem - 0.2 mm`.
Measuring StageChecker::measuring(const syntax::Formula& written, const Observation& held,
                                  std::vector<ObservationId>& observations) {
  const auto is_other = [&](const syntax::Formula& formula) {
    return formula.kind == syntax::Formula::Kind::name &&
           scope_.use_if_declared(formula.name.text, Declared::Kind::observation).has_value();
  };
  const std::string what = "`" + held.name + "`";
  const Type same = Type::quantity(held.unit.dimension);
  Measuring out;
  const bool made =
      written.kind == syntax::Formula::Kind::apply &&
      (written.operation == Operation::add || written.operation == Operation::subtract ||
       written.operation == Operation::multiply) &&
      (is_other(written.arguments[0]) ||
       (written.operation != Operation::subtract && is_other(written.arguments[1])));
  if (!made && !is_other(written)) {
    out.value = formulas_.check(written, same, what, held.unit);
    return out;
  }
  const bool behind = made && !is_other(written.arguments[0]);
  const syntax::Formula& name = !made ? written : written.arguments[behind ? 1 : 0];
  const auto other = observation(name.name, observations);
  if (!other) return out;
  const Observation& against = protocol_.observations[*other];
  if (!against.has_unit || against.unit.dimension != held.unit.dimension) {
    diagnostics_.error(
        "unit-mismatch", name.span,
        "`" + held.name + "` is measured in " + held.unit.symbol + ", and `" + against.name + "` " +
            (against.has_unit ? "in " + against.unit.symbol : std::string("is only seen")) + ".",
        "Hold it against an observation of the same kind.");
    return out;
  }
  out.other = *other;
  if (!made) return out;
  out.made = written.operation;
  const syntax::Formula& value = written.arguments[behind ? 0 : 1];
  out.value = written.operation == Operation::multiply
                  ? formulas_.check(value, Type::quantity(units::number), what)
                  : formulas_.check(value, same, what, held.unit);
  return out;
}

void StageChecker::watched(const std::vector<ObservationId>& observations, const text::Span& span,
                           const std::string& question, const std::string& when) {
  watches_.push_back({index_, observations, span, question, when});
}

/// Somebody has to look at what a condition asks for: in its stage, or with another part.
void StageChecker::report_unwatched() {
  for (const Watch& watch : watches_) {
    for (const ObservationId id : watch.observations) {
      const std::string& name = protocol_.observations[id].name;
      const std::vector<StageId> looked = looked_at_in(protocol_, watch.stage, id);
      if (records(protocol_.stages[looked.front()], name)) continue;
      diagnostics_.warning("unwatched-gate", watch.span,
                           "No work of this stage records `" + name +
                               "`, so nobody is told to look " + watch.question + ".",
                           "Add work such as: do \"Look at " + name + "\" " + watch.when +
                               " { time 10 min  record " + name + " }");
    }
  }
}

}  // namespace budwood::language
