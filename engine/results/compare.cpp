#include "results/compare.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "results/groups.hpp"
#include "results/noted.hpp"
#include "statistics/comparing/groups_compared.hpp"
#include "statistics/comparing/looks.hpp"
#include "statistics/fisher.hpp"
#include "statistics/normal.hpp"
#include "statistics/sample_size.hpp"
#include "statistics/spread/beta_binomial_fit.hpp"
#include "statistics/spread/scatter.hpp"

namespace budwood::results {

namespace {

using statistics::Group;

constexpr double risk = 0.05;
constexpr double power = 0.8;
/// So many plants have their sums listed; of more the chi-square is as good.
constexpr std::int64_t most_exact_plants = 5'000;

/// An outcome with the place where it came about.
struct Counted {
  Outcome outcome;
  std::size_t book = 0;
  const plan::Plan* plan = nullptr;
};

/// Counts of both groups in one stage of one method.
struct Pair {
  std::vector<Counted> first, second;
};

struct StageCounts {
  std::string title;
  std::map<std::string, std::vector<Counted>> groups;
};

std::vector<Group> plants_of(const std::vector<Counted>& counts) {
  std::vector<Group> out;
  for (const Counted& one : counts) out.push_back(one.outcome.plants);
  return out;
}

Side side_of(const std::string& name, const std::vector<Counted>& counts) {
  const auto plants = plants_of(counts);
  return {name, statistics::all_of(plants), counts.size(), statistics::scattered_interval(plants)};
}

std::string batch_of(const Counted& one) {
  return whole_batch(*one.plan, one.book, one.outcome.batch);
}

std::string block_of(const Counted& one) {
  return results::block_of(*one.plan, one.book, one.outcome.batch, one.outcome.tray);
}

/// The trial that a tray was drawn in; "" when in none.
std::string trial_of(const Counted& one) {
  const book::Batch& batch = one.plan->facts_of(one.plan->batches[one.outcome.batch]);
  const bool drawn = batch.trial && batch.trial->own_tray(one.outcome.tray) != nullptr;
  return drawn ? batch_of(one) : "";
}

/// What the values of a facet are on one side: "2027-W10", or several.
std::string facet_of(const std::vector<Counted>& counts, By by) {
  std::set<std::string> values;
  for (const Counted& one : counts) {
    const Belongs what{one.outcome.batch, one.outcome.stage, one.outcome.tray, one.outcome.person,
                       one.outcome.began};
    for (const std::string& value : groups_of(*one.plan, what, by)) values.insert(value);
  }
  return text::list_words({values.begin(), values.end()}, "and");
}

class Comparer {
 public:
  Comparer(Compared& out, const Pair& pair, By by)
      : out_(out),
        pair_(pair),
        by_(by),
        first_(plants_of(pair.first)),
        second_(plants_of(pair.second)) {}

  void run() {
    out_.by_lot = all_drawn();
    out_.difference = statistics::difference(out_.first.plants, out_.second.plants);
    const bool trays = first_.size() >= 2 && second_.size() >= 2;
    if (trays) {
      by_trays();
    } else {
      by_plants();
    }
    over_batches();
    look_for_differences();
    needed();
    judge();
  }

 private:
  /// Whether every tray was drawn in a trial of which both sides have arms.
  bool all_drawn() const {
    std::set<std::string> trials[2];
    for (const auto& [counts, side] : {std::pair{&pair_.first, 0}, std::pair{&pair_.second, 1}}) {
      for (const Counted& one : *counts) trials[side].insert(trial_of(one));
    }
    return !trials[0].contains("") && trials[0] == trials[1];
  }

  void by_trays() {
    const Group plants[] = {out_.first.plants, out_.second.plants};
    out_.plants_alone = statistics::pearson_test(plants);
    out_.scatter_respected = statistics::rao_scott_test(std::vector{first_, second_});
    if (const auto found = statistics::tray_difference(first_, second_)) {
      out_.interval = found->interval;
      out_.method = "from the trays, Student's t";
    } else {
      // All or none are alive on both sides: nothing scatters.
      out_.interval = statistics::newcombe(out_.first.plants, out_.second.plants);
      out_.method = "Newcombe's, from plants";
    }
    std::vector<statistics::LotTray> trays;
    std::vector<BlockedUnit> units;
    for (const auto* side : {&pair_.first, &pair_.second}) {
      for (const Counted& one : *side) {
        units.push_back({block_of(one), side == &pair_.first});
        trays.push_back({share(one.outcome.plants), 0, units.back().is_first});
      }
    }
    const std::vector<int> blocks = numbered_blocks(units);
    for (std::size_t i = 0; i < trays.size(); ++i) trays[i].block = blocks[i];
    constexpr std::uint64_t seed = 1;
    out_.lots = statistics::permutation_test(trays, seed);
    out_.smallest_p =
        statistics::smallest_p(static_cast<int>(first_.size()), static_cast<int>(second_.size()));
    if (!out_.lots) return by_plants();
    out_.p = out_.lots->p;
    out_.p_method = out_.lots->is_exact ? "every lot of the trays" : "a sample of lots";
  }

  void by_plants() {
    out_.interval = statistics::newcombe(out_.first.plants, out_.second.plants);
    out_.method = "Newcombe's, from plants";
    const auto fisher = statistics::fisher_test(out_.first.plants, out_.second.plants);
    if (!fisher) return;
    out_.p = fisher->two_sided;
    out_.p_method = "Fisher's exact test of plants, no mid-P";
  }

  std::map<std::string, statistics::Stratum> strata() const {
    std::map<std::string, statistics::Stratum> strata;
    for (const Counted& one : pair_.first) {
      Group& group = strata[batch_of(one)].first;
      group.good += one.outcome.plants.good;
      group.of += one.outcome.plants.of;
    }
    for (const Counted& one : pair_.second) {
      Group& group = strata[batch_of(one)].second;
      group.good += one.outcome.plants.good;
      group.of += one.outcome.plants.of;
    }
    std::erase_if(strata, [](const auto& one) {
      return one.second.first.of == 0 || one.second.second.of == 0;
    });
    return strata;
  }

  void over_batches() {
    const auto by_batch = strata();
    out_.batches_with_both = by_batch.size();
    if (by_batch.size() < 2) return;
    std::vector<statistics::Stratum> all;
    for (const auto& [batch, stratum] : by_batch) all.push_back(stratum);
    out_.common = statistics::common_difference(all);
    out_.common_odds = statistics::common_odds_ratio(all);
    const auto plants = statistics::all_of(std::vector{out_.first.plants, out_.second.plants});
    const auto exact = plants.of <= most_exact_plants
                           ? statistics::exact_strata_test(all)
                           : std::optional<statistics::ExactStrataTest>();
    const auto large = statistics::mantel_haenszel_test(all);
    if (exact) {
      out_.common_p = exact->two_sided;
      out_.common_p_method = "exact, given how many were alive in each";
    } else if (large) {
      out_.common_p = large->p;
      out_.common_p_method = "Mantel and Haenszel";
    }
    out_.alike = statistics::breslow_day_test(all);
  }

  void look_for_differences() {
    for (const By by : {By::batch, By::week, By::person, By::room, By::lot}) {
      if (by == by_) continue;
      // Arms of one trial are batches of their own here only.
      if (by == By::batch && (out_.by_lot || out_.batches_with_both > 0)) continue;
      const std::string first = facet_of(pair_.first, by);
      const std::string second = facet_of(pair_.second, by);
      if (first != second) out_.unlike.push_back({std::string(word(by)), first, second});
    }
  }

  /// To tell the difference that was seen, with trays of the usual size and the likeness within
  /// them that was found.
  void needed() {
    const double p1 = share(out_.first.plants);
    const double p2 = share(out_.second.plants);
    const auto size = statistics::two_group_size(p1, p2, power, {risk, 2});
    if (!size) return;
    const std::vector<Group> sets[] = {first_, second_};
    const auto fit = statistics::fit_beta_binomial(std::span<const std::vector<Group>>(sets));
    const auto units = static_cast<double>(first_.size() + second_.size());
    const double tray = static_cast<double>(out_.first.plants.of + out_.second.plants.of) / units;
    const double effect = statistics::planned_design_effect(tray, fit ? fit->rho : 0);
    if (!(*size * effect < 1e9)) return;
    out_.plants_needed = static_cast<std::int64_t>(std::ceil(*size * effect));
    out_.trays_needed = static_cast<std::int64_t>(std::ceil(*size * effect / tray));
  }

  void judge() {
    const bool apart = out_.interval && (out_.interval->low > 0 || out_.interval->high < 0);
    out_.verdict = Verdict::unsure;
    if (apart && out_.p <= out_.limit) {
      out_.verdict = out_.difference > 0 ? Verdict::better : Verdict::worse;
    }
  }

  static double share(const Group& g) {
    return static_cast<double>(g.good) / static_cast<double>(g.of);
  }

  Compared& out_;
  const Pair& pair_;
  By by_;
  std::vector<Group> first_, second_;
};

/// What p must not be above when somebody looks so often.
double limit_for(int looks) {
  const auto z = looks > 1 ? statistics::limit_for_looks(looks, risk) : std::nullopt;
  return z ? 2 * statistics::normal_below(-*z) : risk;
}

/// The days on which batches of a comparison were counted in its stage.
int days_counted(const Pair& pair, const std::string& stage) {
  std::set<std::pair<const plan::Plan*, std::string>> batches;
  for (const std::vector<Counted>* side : {&pair.first, &pair.second}) {
    for (const Counted& one : *side) {
      batches.emplace(one.plan, one.plan->facts_of(one.plan->batches[one.outcome.batch]).id.value);
    }
  }
  std::set<const plan::Plan*> plans;
  for (const auto& [plan, id] : batches) plans.insert(plan);
  std::set<calendar::Day> days;
  for (const plan::Plan* plan : plans) {
    const AboutBatches about(*plan->book);
    for (const record::Entry& entry : plan->book->history) {
      if (entry.what != record::What::counted || record::stage_of(entry) != stage ||
          !entry.name.empty()) {
        continue;
      }
      if (batches.contains({plan, about.one(entry)})) days.insert(entry.day);
    }
  }
  return static_cast<int>(days.size());
}

/// A trial of which counts are of another lot than the one that is drawn now; "" when there is
/// none.
std::string changed_trial_in(const Pair& pair) {
  for (const std::vector<Counted>* side : {&pair.first, &pair.second}) {
    for (const Counted& one : *side) {
      std::string trial = changed_trial(*one.plan, one.outcome.batch);
      if (!trial.empty()) return trial;
    }
  }
  return "";
}

/// Several comparisons raise more false alarms than one: by Holm, over all of them.
void adjust(std::vector<Compared>& all, double limit) {
  std::vector<double> p;
  for (const Compared& one : all) {
    p.push_back(one.verdict == Verdict::no_answer ? std::nan("") : one.p);
  }
  const auto adjusted = statistics::holm(p);
  for (std::size_t i = 0; i < all.size(); ++i) {
    all[i].p_adjusted = adjusted[i];
    const bool said = all[i].verdict == Verdict::better || all[i].verdict == Verdict::worse;
    if (said && adjusted[i] > limit) all[i].verdict = Verdict::unsure;
  }
}

/// All counts of the groups that are asked for, by method and stage.
template <class Take>
void go_through(const std::vector<Asked>& books, const Question& question, const Take& take) {
  for (std::size_t i = 0; i < books.size(); ++i) {
    const plan::Plan& plan = *books[i].plan;
    std::vector<LeftOut> unheard;
    for (const Outcome& one : outcomes_of(plan, unheard)) {
      const language::Protocol& protocol = plan.protocol_of(plan.batches[one.batch]);
      if (!question.stage.empty() && protocol.stages[one.stage].name != question.stage) continue;
      const Belongs what{one.batch, one.stage, one.tray, one.person, one.began};
      for (const std::string& group : groups_of(plan, what, question.by)) {
        take(Counted{one, i, &plan}, protocol.stages[one.stage], group);
      }
    }
  }
}

}  // namespace

std::vector<Compared> compare(const std::vector<Asked>& books, const Question& question,
                              const std::vector<NamedPair>& wanted, int looks) {
  const double limit = limit_for(looks);
  // By method and stage: the counts of each group. Variants may have stages of other numbers; names
  // keep them together.
  std::map<std::pair<std::string, std::string>, StageCounts> stages;
  go_through(books, question,
             [&](Counted counted, const language::Stage& stage, const std::string& group) {
               const std::string method = method_of(*counted.plan, counted.outcome.batch);
               StageCounts& counts = stages[{method, stage.name}];
               counts.title = title_of(stage);
               counts.groups[group].push_back(std::move(counted));
             });
  std::vector<Compared> out;
  for (auto& [place, counts] : stages) {
    for (const auto& [first, second] : wanted) {
      const Pair pair{counts.groups[first], counts.groups[second]};
      if (pair.first.empty() && pair.second.empty()) continue;
      Compared compared;
      compared.protocol = place.first;
      compared.stage = place.second;
      compared.title = counts.title;
      compared.looks = looks;
      compared.limit = limit;
      compared.first = side_of(first, pair.first);
      compared.second = side_of(second, pair.second);
      compared.changed_trial = changed_trial_in(pair);
      if (!compared.changed_trial.empty()) compared.verdict = Verdict::no_answer;
      if (compared.changed_trial.empty() && !pair.first.empty() && !pair.second.empty()) {
        Comparer(compared, pair, question.by).run();
        if (compared.by_lot) compared.days_counted = days_counted(pair, compared.stage);
        compared.limit_of_days = limit_for(compared.days_counted);
      }
      out.push_back(std::move(compared));
    }
  }
  adjust(out, limit);
  return out;
}

std::vector<Together> compare_together(const std::vector<Asked>& books, const Question& question) {
  std::map<std::pair<std::string, std::string>, std::map<std::string, std::vector<Group>>> stages;
  std::map<std::pair<std::string, std::string>, std::string> titles;
  go_through(books, question,
             [&](Counted counted, const language::Stage& stage, const std::string& group) {
               // What was noted of another lot than is drawn now says nothing of the arms.
               if (!changed_trial(*counted.plan, counted.outcome.batch).empty()) return;
               const std::pair place{method_of(*counted.plan, counted.outcome.batch), stage.name};
               titles[place] = title_of(stage);
               stages[place][group].push_back(counted.outcome.plants);
             });
  std::vector<Together> out;
  for (const auto& [place, groups] : stages) {
    if (groups.size() < 3) continue;
    Together one{place.first, place.second, titles[place], groups.size(), {}, false};
    std::vector<std::vector<Group>> trays;
    std::vector<Group> plants;
    for (const auto& [name, counts] : groups) {
      trays.push_back(counts);
      plants.push_back(statistics::all_of(counts));
    }
    one.test = statistics::rao_scott_test(trays);
    one.from_trays = one.test.has_value();
    if (!one.test) one.test = statistics::pearson_test(plants);
    out.push_back(std::move(one));
  }
  return out;
}

std::vector<std::string> groups_with_counts(const std::vector<Asked>& books,
                                            const Question& question) {
  std::set<std::string> groups;
  go_through(books, question,
             [&](const Counted&, const language::Stage&, const std::string& group) {
               groups.insert(group);
             });
  return {groups.begin(), groups.end()};
}

}  // namespace budwood::results
