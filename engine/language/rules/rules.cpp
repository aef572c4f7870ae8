#include "language/rules/rules.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "language/formulas/formula_checker.hpp"
#include "language/rules/rule_scope.hpp"
#include "language/tree/canonical.hpp"

namespace budwood::language {

namespace {

using Kind = syntax::Selection::Kind;

/// Why a rule is there and where it comes from, in one paragraph.
std::string reason_of(const syntax::Rule& rule) {
  std::string out;
  for (const syntax::Text& note : rule.notes) out += (out.empty() ? "" : " ") + note.value;
  std::vector<std::string> sources;
  for (const syntax::Text& source : rule.sources) sources.push_back(source.value);
  if (sources.empty()) return out;
  std::string all;
  for (const std::string& source : sources) all += (all.empty() ? "" : "; ") + source;
  return out + (out.empty() ? "" : " ") + "(" + all + ")";
}

/// Puts the things of one protocol into the rules of a set.
class Follower {
 public:
  Follower(Protocol& protocol, bool sampling, text::Diagnostics& diagnostics)
      : protocol_(protocol),
        diagnostics_(diagnostics),
        rules_(protocol, sampling, diagnostics),
        formulas_(protocol, scope_, diagnostics) {
    formulas_.use_rules(&rules_);
  }

  void follow(const std::string& set, const syntax::Rule& rule) {
    turns_ = 0;
    name_ = set + "." + rule.name.text;
    reason_ = reason_of(rule);
    rule_span_ = rule.name.span;
    for (const syntax::Requirement& one : rule.requirements) {
      require(one, no_formula, protocol_.span, StageId());
    }
    for (const syntax::ForEach& loop : rule.loops) go(loop, no_formula);
  }

 private:
  void go(const syntax::ForEach& loop, FormulaId guard) {
    if (loop.steps) {
      for (const auto& [from, to] : rules_.steps()) {
        if (!rules_.bind(loop.from, from)) return;
        if (rules_.bind(loop.to, to)) {
          turn(loop, guard, to);
          rules_.release(loop.to);
        }
        rules_.release(loop.from);
        if (rules_.sampling()) return;
      }
      return;
    }
    const auto things = rules_.select(loop.selection);
    if (!things) return;
    for (const Thing& thing : *things) {
      if (loop.selection.variable && !rules_.bind(*loop.selection.variable, thing)) return;
      turn(loop, guard, thing);
      if (loop.selection.variable) rules_.release(*loop.selection.variable);
    }
  }

  void turn(const syntax::ForEach& loop, FormulaId guard, const Thing& thing) {
    if (!may_turn()) return;
    if (loop.where) {
      const FormulaId where = formulas_.check(*loop.where, Type::truth(), "`where`");
      if (where == no_formula && !rules_.sampling()) return;
      if (where != no_formula) guard = formulas_.join(Operation::both, guard, where);
      if (guard != no_formula && certain(guard, 0) && !rules_.sampling()) return;
    }
    const text::Span place = rules_.place(thing);
    for (const syntax::Requirement& one : loop.requirements) {
      require(one, guard, place, thing.kind == Kind::part ? StageId() : thing.stage);
    }
    for (const syntax::ForEach& inner : loop.inner) go(inner, guard);
  }

  /// Loops in loops are as many turns as their things multiplied.
  bool may_turn() {
    constexpr int most = 200'000;
    if (turns_ > most) return false;
    if (++turns_ <= most) return true;
    diagnostics_.error("large-rule", rule_span_,
                       "The rule `" + name_ + "` goes through more than " + std::to_string(most) +
                           " combinations in `" + protocol_.name + "`.",
                       "Say in `for each` more closely what it goes through.");
    return false;
  }

  /// Whether a condition is this value, or no value, for every batch.
  bool certain(FormulaId id, double value) const {
    const Node& node = protocol_.node(id);
    return node.kind == Node::Kind::constant && (std::isnan(node.value) || node.value == value);
  }

  void require(const syntax::Requirement& written, FormulaId guard, const text::Span& place,
               StageId stage) {
    Requirement out;
    out.condition = formulas_.check(written.condition, Type::truth(),
                                    written.advice ? "`advise`" : "`require`");
    out.message = formulas_.message(written.message);
    if (out.condition == no_formula || rules_.sampling()) return;
    if (guard != no_formula) out.condition = formulas_.implies(guard, out.condition);
    if (certain(out.condition, 1)) return;
    out.advice = written.advice;
    out.stage = stage;
    out.span = place;
    out.rule = name_;
    out.reason = reason_;
    out.rule_span = rule_span_;
    protocol_.requirements.push_back(std::move(out));
  }

  Protocol& protocol_;
  text::Diagnostics& diagnostics_;
  Scope scope_;
  RuleScope rules_;
  FormulaChecker formulas_;
  std::string name_, reason_;
  text::Span rule_span_;
  int turns_ = 0;
};

/// The smallest protocol in which everything that a rule can speak of is there: two stages, one
/// after the other, and work in each.
Protocol sample() {
  Protocol out;
  out.parts.resize(1);
  out.stages.resize(2);
  for (Stage& stage : out.stages) {
    stage.works.resize(1);
    stage.part = PartId(0);
  }
  out.stages[1].takes = {StageId(0)};
  return out;
}

bool holds_condition(const syntax::ForEach& loop) {
  return !loop.requirements.empty() ||
         std::any_of(loop.inner.begin(), loop.inner.end(), holds_condition);
}

}  // namespace

RuleSet check(const syntax::Rules& written, text::Diagnostics& diagnostics) {
  RuleSet out;
  out.name = written.name.text;
  out.span = written.name.span;
  if (written.title) out.title = written.title->value;
  if (written.edition) out.edition = written.edition->number;
  out.fingerprint = fingerprint(written);
  std::map<std::string, text::Span> seen;
  for (const syntax::Rule& rule : written.rules) {
    const auto [first, fresh] = seen.try_emplace(rule.name.text, rule.name.span);
    if (!fresh) {
      text::Diagnostic d;
      d.code = "duplicate-name";
      d.span = rule.name.span;
      d.message = "There is already a rule `" + rule.name.text + "`.";
      d.advice = "Give one of them another name.";
      d.related.push_back({first->second, "The first is here."});
      diagnostics.add(std::move(d));
    }
    if (!rule.has_unread && rule.requirements.empty() &&
        std::none_of(rule.loops.begin(), rule.loops.end(), holds_condition)) {
      diagnostics.error("empty-rule", rule.name.span,
                        "The rule `" + rule.name.text + "` asks for nothing.",
                        "Add a `require` or `advise`.");
    }
    Protocol stand_in = sample();
    Follower(stand_in, true, diagnostics).follow(out.name, rule);
    out.rules.push_back(rule);
  }
  return out;
}

void follow(Protocol& protocol, const RuleSet& rules, text::Diagnostics& diagnostics) {
  Follower follower(protocol, false, diagnostics);
  for (const syntax::Rule& rule : rules.rules) follower.follow(rules.name, rule);
}

namespace {

bool names(const Waiver& waiver, const std::string& rule) {
  const std::size_t point = rule.find('.');
  return waiver.rule == rule.substr(point + 1) &&
         (waiver.set.empty() || waiver.set == rule.substr(0, point));
}

}  // namespace

const Waiver* waiver_of(const Protocol& protocol, const Requirement& requirement) {
  for (const Waiver& waiver : protocol.waivers) {
    const bool here = !waiver.stage.known() || waiver.stage == requirement.stage;
    if (here && names(waiver, requirement.rule)) return &waiver;
  }
  return nullptr;
}

void follow(Protocol& protocol, const std::vector<const RuleSet*>& sets,
            text::Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < sets.size(); ++i) {
    if (std::find(sets.begin(), sets.begin() + static_cast<std::ptrdiff_t>(i), sets[i]) ==
        sets.begin() + static_cast<std::ptrdiff_t>(i)) {
      follow(protocol, *sets[i], diagnostics);
    }
  }
  for (const Waiver& waiver : protocol.waivers) {
    const std::string set = waiver.set.empty() ? "" : waiver.set + ".";
    check_waiver(set + waiver.rule, waiver.span, sets, diagnostics);
  }
}

void check_waiver(const std::string& rule, const text::Span& span,
                  const std::vector<const RuleSet*>& sets, text::Diagnostics& diagnostics) {
  // Without rules nothing is known of their names.
  if (sets.empty()) return;
  std::vector<std::string> known;
  for (const RuleSet* set : sets) {
    for (const syntax::Rule& one : set->rules) {
      known.push_back(one.name.text);
      known.push_back(set->name + "." + one.name.text);
    }
  }
  if (std::find(known.begin(), known.end(), rule) != known.end()) return;
  diagnostics.warning("unknown-rule", span,
                      "No rule that is followed here is called `" + rule + "`.",
                      text::did_you_mean(rule, known));
}

}  // namespace budwood::language
