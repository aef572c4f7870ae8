// How a kernel learns from a failure.
#include <algorithm>
#include <utility>

#include "levelling/search/kernel.hpp"

namespace budwood::levelling {

void Kernel::explain(Reason reason, Fact pushed, Position before, std::vector<Fact>& facts) const {
  switch (reason.kind) {
    case Reason::Kind::none:
    case Reason::Kind::decision:
      break;
    case Reason::Kind::clause:
      clauses_.explain(reason.index, pushed, facts);
      break;
    case Reason::Kind::arc:
      arcs_.explain_push(bounds_, reason.index, pushed, facts);
      break;
    case Reason::Kind::guard:
      arcs_.explain_guard(bounds_, reason.index, before, facts);
      break;
    case Reason::Kind::length:
      lengths_.explain(bounds_, reason.index, pushed, facts);
      break;
    case Reason::Kind::cost:
      costs_.explain(bounds_, reason.index, pushed, before, facts);
      break;
    case Reason::Kind::stored:
      bounds_.stored(reason, facts);
      break;
  }
}

/// The facts that cannot hold together.
void Kernel::take_failure() {
  const Bounds::Failure& failure = bounds_.failure();
  failure_.clear();
  if (failure.reason.kind == Reason::Kind::clause) clauses_.used(failure.reason.index);
  explain(failure.reason, failure.fact, bounds_.size(), failure_);
  if (!failure.overload) failure_.push_back(opposite(failure.fact));
}

/// Notes that the clause needs a fact, unless it holds from the root.
void Kernel::note(Fact fact, std::uint32_t current) {
  const Position at = bounds_.since(fact);
  const std::uint32_t level = bounds_.entry(at).level;
  if (level == 0) return;
  activity_.bump(bounds_, fact);
  if (needed_[at] != not_needed) {
    needed_[at] = std::max(needed_[at], fact.value);
    return;
  }
  needed_[at] = fact.value;
  touched_.push_back(at);
  if (level == current) {
    ++open_;
  } else {
    kept_.push_back(at);
    level_kept_[level] = 1;
  }
}

/// Replaces needed entries of the current level by their reasons, the last first, until one is left
/// (Marques-Silva & Sakallah 1999: the first unique implication point).
Position Kernel::resolve() {
  const std::uint32_t current = bounds_.level();
  for (const Fact& fact : failure_) note(fact, current);
  Position at = bounds_.size();
  for (;;) {
    do --at;
    while (needed_[at] == not_needed || bounds_.entry(at).level != current);
    if (open_ == 1) return at;
    const Bounds::Entry& entry = bounds_.entry(at);
    if (entry.reason.kind == Reason::Kind::clause) clauses_.used(entry.reason.index);
    facts_.clear();
    explain(entry.reason, {entry.side, needed_[at]}, at, facts_);
    needed_[at] = not_needed;
    --open_;
    for (std::size_t i = 0; i < facts_.size(); ++i) note(facts_[i], current);
  }
}

/// Whether a fact follows from other needed entries, so that the clause can do without it.
bool Kernel::follows(Fact fact, int depth) {
  const Position at = bounds_.since(fact);
  const Bounds::Entry& entry = bounds_.entry(at);
  if (entry.level == 0) return true;
  if (needed_[at] != not_needed && needed_[at] >= fact.value) return true;
  if (implied_[at] != not_needed && implied_[at] >= fact.value) return true;
  if (unimplied_[at] != not_needed && unimplied_[at] <= fact.value) return false;
  if (depth == 0 || entry.reason.kind == Reason::Kind::decision || !level_kept_[entry.level]) {
    return false;
  }
  std::vector<Fact> facts;
  explain(entry.reason, fact, at, facts);
  const bool all = std::all_of(facts.begin(), facts.end(),
                               [&](const Fact& each) { return follows(each, depth - 1); });
  if (implied_[at] == not_needed && unimplied_[at] == not_needed) touched_.push_back(at);
  (all ? implied_ : unimplied_)[at] = fact.value;
  return all;
}

/// Leaves out needed entries whose reasons follow from other needed ones (Sörensson & Biere 2009).
void Kernel::thin_out() {
  std::vector<Position> still;
  for (const Position at : kept_) {
    const Bounds::Entry& entry = bounds_.entry(at);
    bool spare = entry.reason.kind != Reason::Kind::decision;
    if (spare) {
      std::vector<Fact> facts;
      explain(entry.reason, {entry.side, needed_[at]}, at, facts);
      spare = std::all_of(facts.begin(), facts.end(),
                          [&](const Fact& fact) { return follows(fact, 12); });
    }
    if (!spare) still.push_back(at);
  }
  kept_ = std::move(still);
}

/// The clause, its own fact first and then one of the level to go back to.
std::vector<Fact> Kernel::build_clause(Position last, std::uint32_t& back, std::uint32_t& levels) {
  // Of two needs of one side the later one includes the earlier.
  std::sort(kept_.begin(), kept_.end(), [](Position a, Position b) { return a > b; });
  std::vector<Fact> clause{opposite({bounds_.entry(last).side, needed_[last]})};
  back = 0;
  levels = 1;
  std::uint32_t before = UINT32_MAX;
  for (const Position at : kept_) {
    const Bounds::Entry& entry = bounds_.entry(at);
    const Fact fact = opposite({entry.side, needed_[at]});
    const bool included = std::any_of(clause.begin(), clause.end(),
                                      [&](const Fact& other) { return other.side == fact.side; });
    if (included) continue;
    clause.push_back(fact);
    if (back == 0) back = entry.level;
    if (entry.level != before) ++levels;
    before = entry.level;
  }
  return clause;
}

void Kernel::clear_notes() {
  for (const Position at : touched_) {
    needed_[at] = implied_[at] = unimplied_[at] = not_needed;
  }
  for (const Position at : kept_) level_kept_[bounds_.entry(at).level] = 0;
  std::fill(level_kept_.begin(), level_kept_.end(), 0);
  touched_.clear();
  kept_.clear();
  open_ = 0;
}

bool Kernel::learn() {
  take_failure();
  std::uint32_t top = 0;
  for (const Fact& fact : failure_) {
    top = std::max(top, bounds_.entry(bounds_.since(fact)).level);
  }
  if (top == 0) return false;
  back_to(top);
  if (needed_.size() < bounds_.size()) {
    needed_.resize(bounds_.size(), not_needed);
    implied_.resize(bounds_.size(), not_needed);
    unimplied_.resize(bounds_.size(), not_needed);
  }
  level_kept_.resize(bounds_.level() + 1, 0);
  const Position last = resolve();
  thin_out();
  std::uint32_t back = 0, levels = 0;
  const std::vector<Fact> clause = build_clause(last, back, levels);
  clear_notes();
  activity_.decay();
  back_to(back);
  Reason reason;
  if (clause.size() > 1) reason = {Reason::Kind::clause, clauses_.add(clause, levels)};
  return bounds_.push(clause[0], reason);
}

}  // namespace budwood::levelling
