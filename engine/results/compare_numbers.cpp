#include "results/compare_numbers.hpp"

#include <array>
#include <cmath>
#include <map>

#include "results/groups.hpp"

namespace budwood::results {

namespace {

constexpr double risk_of_numbers = 0.05;

/// What one group has in each stage, or work of a stage.
template <class One>
struct Both {
  const One* first = nullptr;
  const One* second = nullptr;
};

template <class One>
std::map<std::array<std::string, 3>, Both<One>> by_stage(const std::vector<One>& all,
                                                         const NamedPair& pair) {
  std::map<std::array<std::string, 3>, Both<One>> out;
  for (const One& one : all) {
    if (one.group != pair.first && one.group != pair.second) continue;
    Both<One>& both = out[{one.protocol, one.stage, one.title}];
    (one.group == pair.first ? both.first : both.second) = &one;
  }
  return out;
}

void finish(std::vector<ComparedNumbers>& all) {
  std::vector<double> p;
  for (const ComparedNumbers& one : all) p.push_back(one.answered ? one.p : std::nan(""));
  const auto adjusted = statistics::holm(p);
  for (std::size_t i = 0; i < all.size(); ++i) {
    all[i].p_adjusted = adjusted[i];
    const auto& interval = all[i].interval;
    const bool holds_0 = interval && interval->low <= 0 && interval->high >= 0;
    all[i].apart = all[i].answered && adjusted[i] <= risk_of_numbers && !holds_0;
  }
}

void follow(ComparedNumbers& out, const Curve& first, const Curve& second) {
  for (const Curve* side : {&first, &second}) {
    for (const CurveUnit& unit : side->units) {
      if (!unit.changed_trial.empty()) out.changed_trial = unit.changed_trial;
    }
  }
  if (!out.changed_trial.empty()) return;
  out.log_rank = statistics::log_rank(plants_of(first), plants_of(second));
  if (!out.log_rank) return;
  out.answered = true;
  out.first_more = out.log_rank->observed[0] > out.log_rank->expected[0];
  out.p = out.log_rank->p;
  out.p_method = "log-rank, from plants";
  if (first.units.size() < 2 || second.units.size() < 2) return;
  std::vector<std::vector<statistics::Followed>> units;
  std::vector<BlockedUnit> blocked;
  for (const Curve* side : {&first, &second}) {
    for (const CurveUnit& unit : side->units) {
      units.push_back(unit.plants);
      blocked.push_back({unit.block, side == &first});
    }
  }
  const auto scores = statistics::log_rank_scores(units);
  const std::vector<int> blocks = numbered_blocks(blocked);
  std::vector<statistics::LotTray> trays;
  for (std::size_t i = 0; i < units.size(); ++i) {
    trays.push_back({scores[i], blocks[i], blocked[i].is_first});
  }
  out.lots = statistics::permutation_test(trays, 1);
  if (!out.lots) return;
  out.p = out.lots->p;
  out.p_method = out.lots->is_exact ? "every lot of the trays" : "a sample of lots";
}

/// What is compared, before it is known what came of it.
ComparedNumbers begun_at(const std::array<std::string, 3>& place, const NamedPair& pair) {
  ComparedNumbers out;
  out.protocol = place[0];
  out.stage = place[1];
  out.title = place[2];
  out.first.name = pair.first;
  out.second.name = pair.second;
  return out;
}

double half_day(const Curve& curve) {
  return statistics::median_survival(curve.steps).value_or(std::nan(""));
}

}  // namespace

std::vector<ComparedNumbers> compare_numbers(const std::vector<Asked>& books,
                                             const Question& question, const NamedPair& pair) {
  Question together = question;
  together.books_together = true;
  const Summary summary = summarise(books, together);
  std::vector<ComparedNumbers> out;
  for (const auto& [place, both] : by_stage(summary.rows, pair)) {
    ComparedNumbers one = begun_at(place, pair);
    if (both.first != nullptr) one.first = {pair.first, both.first->units, both.first->value};
    if (both.second != nullptr) one.second = {pair.second, both.second->units, both.second->value};
    const bool two = both.first != nullptr && both.second != nullptr;
    if (two && both.first->estimate && both.second->estimate) {
      one.difference = one.first.value - one.second.value;
      one.first_more = one.difference > 0;
      if (const auto test = statistics::welch_test(*both.first->estimate, *both.second->estimate)) {
        one.answered = true;
        one.interval = test->interval;
        one.p = test->p;
        one.p_method = "Welch's test";
      }
    }
    out.push_back(std::move(one));
  }
  finish(out);
  return out;
}

std::vector<ComparedNumbers> compare_courses(const std::vector<Asked>& books,
                                             const Question& question, const NamedPair& pair,
                                             CurveOf what) {
  Question together = question;
  together.books_together = true;
  const std::vector<Curve> curves = curves_of(books, together, what);
  std::vector<ComparedNumbers> out;
  for (const auto& [place, both] : by_stage(curves, pair)) {
    ComparedNumbers one = begun_at(place, pair);
    if (both.first != nullptr) {
      one.first = {pair.first, both.first->units.size(), half_day(*both.first)};
    }
    if (both.second != nullptr) {
      one.second = {pair.second, both.second->units.size(), half_day(*both.second)};
    }
    if (both.first != nullptr && both.second != nullptr) follow(one, *both.first, *both.second);
    out.push_back(std::move(one));
  }
  finish(out);
  return out;
}

}  // namespace budwood::results
