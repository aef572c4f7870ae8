#include "results/learn.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "statistics/assurance.hpp"
#include "statistics/beta_binomial.hpp"
#include "statistics/spread/beta_binomial_fit.hpp"
#include "statistics/spread/posterior.hpp"
#include "statistics/spread/ratio.hpp"
#include "statistics/spread/scatter.hpp"

namespace budwood::results {

namespace {

using statistics::Group;

/// What bears on one input.
struct Evidence {
  Learned learned;
  bool lost = false;  ///< the input is the share that is lost
  std::map<std::string, std::vector<Group>> by_batch;
  std::size_t trays = 0;
  std::vector<statistics::Job> jobs;  ///< x seconds, y plants
};

using Place = std::pair<std::string, std::string>;  // protocol, input

/// The input that alone is the rate of a work; none when it is worked out in another way.
language::InputId rate_input(const language::Protocol& protocol, const language::Work& work) {
  if (work.rate == language::no_formula) return {};
  const language::Node& node = protocol.node(work.rate);
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
    }
    std::vector<Learned> out;
    for (auto& [place, evidence] : all_) {
      const bool known = evidence.learned.is_share ? share(evidence) : rate(evidence);
      if (known) out.push_back(std::move(evidence.learned));
    }
    return out;
  }

 private:
  Evidence& of(const language::Protocol& protocol, language::InputId id, const std::string& stage,
               bool is_share) {
    const language::Input& input = protocol.inputs[id];
    Evidence& evidence = all_[{protocol.name, input.name}];
    Learned& learned = evidence.learned;
    learned.protocol = protocol.name;
    learned.input = input.name;
    learned.stage = stage;
    learned.unit = input.unit;
    learned.is_share = is_share;
    learned.usual = protocol.node(input.usual).value;
    return evidence;
  }

  void add(const Outcome& outcome) {
    const language::Protocol& protocol = plan_->protocol_of(plan_->batches[outcome.batch]);
    const language::Stage& stage = protocol.stages[outcome.stage];
    const auto loss = language::loss_input(protocol, stage);
    if (!loss) return;
    Evidence& evidence = of(protocol, loss->input, stage.name, true);
    evidence.lost = loss->lost;
    const std::string& id = plan_->facts_of(plan_->batches[outcome.batch]).id.value;
    evidence.by_batch[std::to_string(book_) + "/" + id].push_back(outcome.plants);
    if (!outcome.tray.empty()) ++evidence.trays;
  }

  void add(const TimedJob& job) {
    const language::Protocol& protocol = plan_->protocol_of(plan_->batches[job.batch]);
    for (const language::Work& work : protocol.stages[job.stage].works) {
      const language::InputId input = rate_input(protocol, work);
      if (work.title != job.work || !input.known()) continue;
      of(protocol, input, protocol.stages[job.stage].name, false)
          .jobs.push_back({job.seconds, job.plants});
      return;
    }
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
    const double usual = evidence.lost ? 1 - learned.usual : learned.usual;
    learned.from_batches = batches.size() >= enough_batches;
    if (learned.from_batches) {
      const auto fit = statistics::fit_beta_binomial(batches);
      learned.value = fit->means.front();
      learned.between_batches = fit->rho;
      learned.interval = *statistics::scattered_interval(batches);
    } else if (!together_with(usual, batches, learned)) {
      return false;
    }
    if (!trays.empty()) {
      const auto fit = statistics::fit_beta_binomial(std::span<const std::vector<Group>>(trays));
      if (fit) learned.between_trays = fit->rho;
    }
    look_ahead(learned);
    if (evidence.lost) turn(learned);
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

  static void look_ahead(Learned& learned) {
    const auto rate = statistics::Rate::scattered(learned.value, learned.between_batches);
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
    return true;
  }

  const plan::Plan* plan_ = nullptr;
  std::size_t book_ = 0;
  std::map<Place, Evidence> all_;
};

std::vector<std::string> facts_about(const plan::Plan& plan, const Outcome& outcome) {
  const plan::BatchPlan& batch = plan.batches[outcome.batch];
  const book::Batch& facts = plan.facts_of(batch);
  std::vector<std::string> out;
  if (!outcome.person.empty()) out.push_back("done by " + outcome.person);
  for (const auto& [supply, lot] : facts.lots) out.push_back(supply + " from " + lot.value);
  const std::string& room = plan.protocol_of(batch).stages[outcome.stage].room;
  if (!room.empty()) out.push_back("in " + room);
  for (const sheet::Deviation& one : plan.row_of(batch).deviations()) {
    if (one.happened) out.push_back(one.text);
  }
  return out;
}

}  // namespace

std::vector<Learned> learn(const std::vector<Asked>& books) {
  return Learner().run(books);
}

std::vector<BelowExpectation> below_expectation(const plan::Plan& plan) {
  constexpr double seldom = 0.05;
  // All trays of a stage together: of many trays one is always poor.
  std::map<std::pair<std::uint32_t, std::int32_t>, Outcome> by_stage;
  std::vector<LeftOut> unheard;
  for (const Outcome& one : outcomes_of(plan, unheard)) {
    const auto [place, fresh] = by_stage.try_emplace({one.batch, one.stage}, one);
    if (fresh) continue;
    place->second.plants.good += one.plants.good;
    place->second.plants.of += one.plants.of;
  }
  std::vector<BelowExpectation> out;
  for (const auto& [place, outcome] : by_stage) {
    const sheet::Row row = plan.row_of(plan.batches[outcome.batch]);
    const double usual = row.value(row.cells(outcome.stage).survival, 1);
    const auto rate = statistics::Rate::scattered(usual, default_likeness);
    // Where nothing is expected to be lost, a single loss would be below expectation.
    if (!rate || !(usual < 1)) continue;
    const double chance =
        statistics::predicted_fewer_than(outcome.plants.of, outcome.plants.good + 1, *rate);
    if (!(chance <= seldom)) continue;
    const language::Protocol& protocol = plan.protocol_of(plan.batches[outcome.batch]);
    out.push_back({plan.facts_of(plan.batches[outcome.batch]).id.value,
                   protocol.stages[outcome.stage].name, outcome.plants, usual, chance,
                   facts_about(plan, outcome)});
  }
  return out;
}

}  // namespace budwood::results
