#include "levelling/search/clauses.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

namespace budwood::levelling {

void Clauses::watch(Fact fact, ClauseId clause, Fact other) {
  const Fact failing = opposite(fact);
  watches_[failing.side].push_back({failing.value, clause, other});
}

ClauseId Clauses::add(const std::vector<Fact>& facts, std::uint32_t levels) {
  const auto id = static_cast<ClauseId>(clauses_.size());
  clauses_.push_back({static_cast<std::uint32_t>(facts_.size()),
                      static_cast<std::uint32_t>(facts.size()), levels, step_});
  facts_.insert(facts_.end(), facts.begin(), facts.end());
  watch(facts[0], id, facts[1]);
  watch(facts[1], id, facts[0]);
  return id;
}

/// Looks for another fact to watch; without one the other watched fact must hold.
bool Clauses::visit(Bounds& bounds, Watch& watched, SideId side, bool& moved) {
  const Clause& clause = clauses_[watched.clause];
  Fact* const facts = facts_.data() + clause.first;
  const Fact failed = opposite({side, watched.bound});
  if (facts[0] == failed) std::swap(facts[0], facts[1]);
  watched.other = facts[0];
  if (bounds.holds(facts[0])) return true;
  for (std::uint32_t i = 2; i < clause.size; ++i) {
    if (bounds.fails(facts[i])) continue;
    std::swap(facts[1], facts[i]);
    moved = true;
    watch(facts[1], watched.clause, facts[0]);
    return true;
  }
  return bounds.push(facts[0], {Reason::Kind::clause, watched.clause});
}

bool Clauses::propagate(Bounds& bounds, SideId side, Value old, Value now) {
  bool fine = true;
  std::size_t kept = 0;
  // A watch that moves goes to another side's list or, on the same side, to a later bound at the
  // end of this one; so the list is looked up anew each time.
  for (std::size_t i = 0; i < watches_[side].size(); ++i) {
    Watch watched = watches_[side][i];
    bool moved = false;
    if (fine && watched.bound <= now && watched.bound > old && !bounds.holds(watched.other)) {
      fine = visit(bounds, watched, side, moved);
    }
    if (!moved) watches_[side][kept++] = watched;
  }
  watches_[side].resize(kept);
  return fine;
}

void Clauses::explain(ClauseId id, Fact pushed, std::vector<Fact>& facts) const {
  const Clause& clause = clauses_[id];
  bool passed = false;
  for (std::uint32_t i = 0; i < clause.size; ++i) {
    const Fact fact = facts_[clause.first + i];
    // A clause holds no two facts of one side, so the side tells the pushed one.
    if (!passed && fact.side == pushed.side) {
      passed = true;
    } else {
      facts.push_back(opposite(fact));
    }
  }
}

void Clauses::used(ClauseId id) {
  clauses_[id].activity += step_;
  step_ *= 1.001F;
  if (step_ < 1e20F) return;
  step_ *= 1e-20F;
  for (Clause& clause : clauses_) clause.activity *= 1e-20F;
}

void Clauses::reduce() {
  std::vector<ClauseId> order(clauses_.size());
  std::iota(order.begin(), order.end(), 0);
  const auto better = [this](ClauseId a, ClauseId b) {
    const Clause& one = clauses_[a];
    const Clause& two = clauses_[b];
    const bool glue_one = one.levels <= 2, glue_two = two.levels <= 2;
    if (glue_one != glue_two) return glue_one;
    return one.activity != two.activity ? one.activity > two.activity : a < b;
  };
  std::sort(order.begin(), order.end(), better);
  order.resize(order.size() / 2);
  std::sort(order.begin(), order.end());

  std::vector<Clause> clauses;
  std::vector<Fact> facts;
  for (auto& list : watches_) list.clear();
  for (const ClauseId id : order) {
    Clause clause = clauses_[id];
    const Fact* const first = facts_.data() + clause.first;
    clause.first = static_cast<std::uint32_t>(facts.size());
    facts.insert(facts.end(), first, first + clause.size);
    watch(first[0], static_cast<ClauseId>(clauses.size()), first[1]);
    watch(first[1], static_cast<ClauseId>(clauses.size()), first[0]);
    clauses.push_back(clause);
  }
  clauses_ = std::move(clauses);
  facts_ = std::move(facts);
}

}  // namespace budwood::levelling
