#include "results/learn.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "statistics/assurance.hpp"
#include "statistics/beta_binomial.hpp"
#include "statistics/spread/beta_binomial_fit.hpp"
#include "statistics/spread/posterior.hpp"
#include "statistics/spread/scatter.hpp"
#include "units/rounding.hpp"

namespace budwood::results {

namespace {

using Kind = Learned::Kind;
using statistics::Group;

/// What bears on one input.
struct Evidence {
  Learned learned;
  std::optional<statistics::Interval> allowed;  ///< the range of the input
  std::map<std::string, std::vector<Group>> by_batch;
  std::size_t trays = 0;
  std::vector<statistics::Job> jobs;  ///< x seconds, y plants
  std::vector<double> days;
};

/// Protocol, edition, lengths of stages last, then the input or stage.
using LearnedPlace = std::tuple<std::string, int, bool, std::string>;

/// The input that a formula is; none when it is worked out in another way.
language::InputId sole_input(const language::Protocol& protocol, language::FormulaId formula) {
  if (formula == language::no_formula) return {};
  const language::Node& node = protocol.node(formula);
  if (node.kind != language::Node::Kind::input) return {};
  return language::InputId(node.target);
}

class Learner {
 public:
  std::vector<Learned> run(const std::vector<Asked>& books) {
    for (std::size_t i = 0; i < books.size(); ++i) {
      plan_ = books[i].plan;
      book_ = i;
      std::vector<LeftOut> unheard;
      for (const Outcome& one : outcomes_of(*plan_, unheard)) add(one);
      for (const TimedJob& one : timed_jobs(*plan_)) add(one);
      for (const StageDays& one : stage_days(*plan_)) add(one);
    }
    std::vector<Learned> out;
    for (auto& [place, evidence] : all_) {
      if (!known(evidence)) continue;
      check_range(evidence);
      out.push_back(std::move(evidence.learned));
    }
    return out;
  }

 private:
  static bool known(Evidence& evidence) {
    switch (evidence.learned.kind) {
      case Kind::share:
        return share(evidence);
      case Kind::rate:
        return rate(evidence);
      case Kind::length:
        return length(evidence);
    }
    return false;
  }

  static void check_range(Evidence& evidence) {
    if (!evidence.allowed) return;
    const auto& [low, high] = *evidence.allowed;
    const double slack = units::slack(low, high);
    const double value = evidence.learned.value;
    evidence.learned.outside = value < low - slack || value > high + slack;
  }

  Evidence& at(const language::Protocol& protocol, const std::string& name, bool is_stage) {
    Evidence& evidence = all_[{protocol.name, protocol.edition, is_stage, name}];
    evidence.learned.protocol = protocol.name;
    evidence.learned.edition = protocol.edition;
    if (plan_->book->today) {
      evidence.learned.until = std::max(evidence.learned.until, *plan_->book->today);
    }
    return evidence;
  }

  Evidence& of(const language::Protocol& protocol, language::InputId id, const std::string& stage,
               Kind kind) {
    const language::Input& input = protocol.inputs[id];
    Evidence& evidence = at(protocol, input.name, false);
    Learned& learned = evidence.learned;
    learned.input = input.name;
    learned.stage = stage;
    learned.unit = input.unit;
    learned.kind = kind;
    learned.usual = protocol.node(input.usual).value;
    if (input.lowest != language::no_formula) {
      evidence.allowed = statistics::Interval{protocol.node(input.lowest).value,
                                              protocol.node(input.highest).value};
    }
    return evidence;
  }

  void add(const Outcome& outcome) {
    const language::Protocol& protocol = plan_->protocol_of(plan_->batches[outcome.batch]);
    const language::Stage& stage = protocol.stages[outcome.stage];
    const auto loss = language::loss_input(protocol, stage);
    // What was picked and sorted says nothing of what was lost.
    if (!loss || !stage.picks.empty()) return;
    Evidence& evidence = of(protocol, loss->input, stage.name, Kind::share);
    evidence.learned.lost = loss->lost;
    const std::string& id = plan_->facts_of(plan_->batches[outcome.batch]).id.value;
    evidence.by_batch[std::to_string(book_) + "/" + id].push_back(outcome.plants);
    if (!outcome.tray.empty()) ++evidence.trays;
  }

  void add(const TimedJob& job) {
    const language::Protocol& protocol = plan_->protocol_of(plan_->batches[job.batch]);
    for (const language::Work& work : protocol.stages[job.stage].works) {
      const language::InputId input = sole_input(protocol, work.rate);
      if (work.title != job.work || !input.known()) continue;
      of(protocol, input, protocol.stages[job.stage].name, Kind::rate)
          .jobs.push_back({job.seconds, job.plants});
      return;
    }
  }

  void add(const StageDays& seen) {
    const language::Protocol& protocol = plan_->protocol_of(plan_->batches[seen.batch]);
    const language::Stage& stage = protocol.stages[seen.stage];
    // Of a stage that follows temperatures days are no length, and a stage of one day is not
    // nature.
    if (stage.heat || !(seen.longest > 1)) return;
    const language::InputId input = sole_input(protocol, stage.usual);
    Evidence& evidence = input.known() ? of(protocol, input, stage.name, Kind::length)
                                       : at(protocol, stage.name, true);
    Learned& learned = evidence.learned;
    learned.kind = Kind::length;
    learned.stage = stage.name;
    if (!input.known()) learned.unit = *units::find_unit("days");
    if (!input.known()) learned.usual = seen.usual * units::seconds_a_day;
    learned.range.emplace();
    learned.range->written = {seen.shortest * units::seconds_a_day,
                              seen.longest * units::seconds_a_day};
    evidence.days.push_back(seen.days * units::seconds_a_day);
  }

  /// A share: from the batches where there are enough, else together with the protocol's own value.
  static bool share(Evidence& evidence) {
    Learned& learned = evidence.learned;
    std::vector<Group> batches;
    std::vector<std::vector<Group>> trays;
    for (const auto& [id, groups] : evidence.by_batch) {
      batches.push_back(statistics::all_of(groups));
      if (groups.size() >= 2) trays.push_back(groups);
    }
    const Group all = statistics::all_of(batches);
    if (all.of == 0) return false;
    learned.good = all.good;
    learned.seen = all.of;
    learned.batches = batches.size();
    learned.trays = evidence.trays;
    // What comes through is what was counted, whichever way round the input has it.
    const double usual = learned.lost ? 1 - learned.usual : learned.usual;
    learned.from_batches = batches.size() >= enough_batches;
    if (learned.from_batches) {
      const auto fit = statistics::fit_beta_binomial(batches);
      learned.value = fit->means.front();
      learned.between_batches = fit->rho;
      learned.interval = *statistics::scattered_interval(batches);
    } else if (!together_with(usual, batches, learned)) {
      return false;
    }
    if (const auto test = statistics::tarone_test(batches)) learned.batches_by_luck = test->p;
    if (!trays.empty()) {
      const auto fit = statistics::fit_beta_binomial(std::span<const std::vector<Group>>(trays));
      if (fit) learned.between_trays = fit->rho;
    }
    look_ahead(learned);
    if (learned.lost) turn(learned);
    return true;
  }

  static bool together_with(double usual, const std::vector<Group>& batches, Learned& learned) {
    const double inside = std::clamp(usual, 1 / weight_of_protocol, 1 - 1 / weight_of_protocol);
    const statistics::BetaShape prior{inside * weight_of_protocol,
                                      (1 - inside) * weight_of_protocol};
    const auto known = statistics::posterior_mean(prior, batches, default_likeness);
    if (!known) return false;
    learned.value = known->mean;
    learned.interval = known->interval;
    learned.between_batches = default_likeness;
    return true;
  }

  /// As plans take it once it is kept: batches differ, and the usual share is not known exactly.
  static std::optional<statistics::Rate> rate_of_next(const Learned& learned) {
    if (!(learned.between_batches > 0))
      return statistics::Rate::counted(learned.good, learned.seen);
    return statistics::Rate::scattered(learned.value, learned.between_batches,
                                       static_cast<double>(learned.seen),
                                       static_cast<double>(learned.batches));
  }

  static void look_ahead(Learned& learned) {
    const auto rate = rate_of_next(learned);
    learned.next_plants = learned.seen / static_cast<std::int64_t>(learned.batches);
    if (!rate || learned.next_plants == 0) return;
    const auto low = statistics::predicted_quantile(learned.next_plants, *rate, 0.025);
    const auto high = statistics::predicted_quantile(learned.next_plants, *rate, 0.975);
    const auto plants = static_cast<double>(learned.next_plants);
    if (low && high) {
      learned.next = {static_cast<double>(*low) / plants, static_cast<double>(*high) / plants};
    }
    learned.starts_for_100 = statistics::smallest_start(100, *rate, 0.95);
  }

  static void turn(Learned& learned) {
    const auto turned = [](const statistics::Interval& one) {
      return statistics::Interval{1 - one.high, 1 - one.low};
    };
    learned.value = 1 - learned.value;
    learned.interval = turned(learned.interval);
    if (learned.next) learned.next = turned(*learned.next);
  }

  static bool rate(Evidence& evidence) {
    Learned& learned = evidence.learned;
    const auto ratio = statistics::ratio_of_sums(evidence.jobs);
    if (!ratio) return false;
    learned.value = ratio->ratio;
    learned.interval = {std::max(ratio->interval.low, 0.0), ratio->interval.high};
    learned.jobs = evidence.jobs.size();
    learned.from_batches = true;
    std::vector<statistics::Job> minutes;
    for (const statistics::Job& job : evidence.jobs) minutes.push_back({job.y, job.x / 60});
    learned.minutes = statistics::ratio_of_sums(minutes);
    return true;
  }

  /// A length: what half of all stay below, and where the early and the late ones end.
  static bool length(Evidence& evidence) {
    Learned& learned = evidence.learned;
    std::vector<double>& days = evidence.days;
    std::sort(days.begin(), days.end());
    const auto middle = statistics::quantile_of(days, 0.5);
    if (!middle || days.size() < 2) return false;
    const double none = std::nan("");
    learned.value = middle->value;
    learned.interval = {middle->low.value_or(none), middle->high.value_or(none)};
    learned.jobs = days.size();
    learned.from_batches = true;
    LearnedRange& range = *learned.range;
    range.early = *statistics::quantile_of(days, 0.05);
    range.late = *statistics::quantile_of(days, 0.95);
    range.shortest = days.front();
    range.longest = days.back();
    range.chance_next_between = statistics::chance_between_extremes(days.size());
    return true;
  }

  const plan::Plan* plan_ = nullptr;
  std::size_t book_ = 0;
  std::map<LearnedPlace, Evidence> all_;
};

}  // namespace

std::vector<Learned> learn(const std::vector<Asked>& books) {
  return Learner().run(books);
}

std::vector<LearnedCurve> learning_curves(const std::vector<Asked>& books) {
  constexpr std::size_t fewest_jobs = 3;
  using Work = std::tuple<std::string, std::string, std::string>;
  std::map<Work, std::vector<TimedJob>> all;
  for (const Asked& one : books) {
    for (TimedJob& job : timed_jobs(*one.plan)) {
      const language::Protocol& protocol = one.plan->protocol_of(one.plan->batches[job.batch]);
      all[{language::method_of(protocol.name), job.work, job.person}].push_back(std::move(job));
    }
  }
  std::vector<LearnedCurve> out;
  for (auto& [work, jobs] : all) {
    std::stable_sort(jobs.begin(), jobs.end(),
                     [](const TimedJob& a, const TimedJob& b) { return a.day < b.day; });
    LearnedCurve one{std::get<0>(work), std::get<1>(work), std::get<2>(work), jobs.size(), 0, {}};
    std::vector<statistics::Job> points;
    for (const TimedJob& job : jobs) {
      points.push_back({one.plants + (job.plants + 1) / 2, job.seconds / job.plants});
      one.plants += job.plants;
    }
    const auto curve = statistics::fit_learning_curve(points);
    if (!curve || jobs.size() < fewest_jobs) continue;
    one.curve = *curve;
    out.push_back(std::move(one));
  }
  return out;
}

}  // namespace budwood::results
