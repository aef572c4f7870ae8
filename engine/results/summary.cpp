#include "results/summary.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>

#include "plan/needs/costs.hpp"
#include "plan/needs/needs.hpp"
#include "results/groups.hpp"
#include "statistics/spread/ratio.hpp"
#include "statistics/spread/scatter.hpp"
#include "units/units.hpp"

namespace budwood::results {

namespace {

using language::StageId;

constexpr std::array by_words_in_order{"variant", "edition", "protocol", "batch", "arm", "tray",
                                       "person",  "lot",     "room",     "week",  "site"};
constexpr std::array of_words_in_order{"take", "rate", "days", "cost"};

template <class Enum, class Words>
std::optional<Enum> find_word(std::string_view word, const Words& words) {
  const auto found = std::find(words.begin(), words.end(), word);
  if (found == words.end()) return std::nullopt;
  return static_cast<Enum>(found - words.begin());
}

/// Groups stand by book and protocol, then as stages follow each other, then by their names.
using Key = std::tuple<std::size_t, std::string, std::int32_t, std::string, std::string>;

/// What came together in one group.
struct Gathered {
  std::string stage, title;
  std::vector<statistics::Group> counts;
  std::vector<statistics::Job> jobs;   ///< x hours, y plants
  std::vector<statistics::Job> costs;  ///< of a batch: x good plants, y money
  std::vector<double> days;
  double usual = 0;   ///< of each, weighed
  double weight = 0;  ///< of what has a usual value
  double shortest = 0, longest = 0;
  double money = 0, good = 0;
  std::size_t units = 0;
  bool start_noted = true;
  std::optional<calendar::Day> began;
};

class Gatherer {
 public:
  Gatherer(const std::vector<Asked>& books, const Question& question)
      : books_(books), question_(question) {}

  Summary run() {
    Summary out;
    out.question = question_;
    for (std::size_t i = 0; i < books_.size(); ++i) {
      out.books.push_back(books_[i].name);
      book_ = i;
      plan_ = books_[i].plan;
      gather(out.left_out);
    }
    for (const auto& [key, gathered] : groups_) out.rows.push_back(row_of(key, gathered));
    return out;
  }

 private:
  void gather(std::vector<LeftOut>& left_out) {
    switch (question_.of) {
      case Of::take:
        for (const Outcome& one : outcomes_of(*plan_, left_out)) add(one);
        break;
      case Of::rate:
        for (const TimedJob& one : timed_jobs(*plan_)) add(one);
        break;
      case Of::days:
        for (const StageDays& one : stage_days(*plan_)) add(one);
        break;
      case Of::cost:
        add_costs(left_out);
        break;
    }
  }

  std::vector<Gathered*> groups(const Belongs& what, const std::string& more = {}) {
    std::vector<Gathered*> out;
    const language::Protocol& protocol = plan_->protocol_of(plan_->batches[what.batch]);
    const std::string stage = what.stage.known() ? protocol.stages[what.stage].name : "";
    if (!question_.stage.empty() && stage != question_.stage) return out;
    for (const std::string& group : groups_of(*plan_, what, question_.by)) {
      Gathered& one = groups_[{question_.books_together ? std::size_t{0} : book_,
                               method_of(*plan_, what.batch), what.stage, more, group}];
      one.stage = stage;
      if (what.stage.known()) {
        one.title = !more.empty() ? more : protocol.stages[what.stage].title;
        if (one.title.empty()) one.title = stage;
      }
      out.push_back(&one);
    }
    return out;
  }

  void add(const Outcome& outcome) {
    const sheet::Row row = plan_->row_of(plan_->batches[outcome.batch]);
    const double usual = row.through(outcome.stage);
    for (Gathered* group :
         groups({outcome.batch, outcome.stage, outcome.tray, outcome.person, outcome.began})) {
      group->counts.push_back(outcome.plants);
      ++group->units;
      group->start_noted = group->start_noted && outcome.start_noted;
      group->began = std::min(group->began.value_or(outcome.began), outcome.began);
      add_usual(*group, usual, static_cast<double>(outcome.plants.of));
    }
  }

  void add(const TimedJob& job) {
    const double hours = job.seconds / units::seconds_an_hour;
    for (Gathered* group : groups({job.batch, job.stage, "", job.person, job.day}, job.work)) {
      group->jobs.push_back({hours, job.plants});
      ++group->units;
      // Plants an hour over hours: the planned hours are the weight.
      if (job.planned_seconds && *job.planned_seconds > 0) {
        const double planned = *job.planned_seconds / units::seconds_an_hour;
        add_usual(*group, job.plants / planned, planned);
      }
    }
  }

  void add(const StageDays& days) {
    for (Gathered* group : groups({days.batch, days.stage, "", "", days.began})) {
      group->days.push_back(days.days);
      ++group->units;
      if (!std::isfinite(days.usual)) continue;
      if (group->weight == 0) {
        group->shortest = days.shortest;
        group->longest = days.longest;
      }
      group->shortest = std::min(group->shortest, days.shortest);
      group->longest = std::max(group->longest, days.longest);
      add_usual(*group, days.usual, 1);
    }
  }

  /// The cost of a batch is that of its plan; good plants are those counted last in its last stage,
  /// else those that are expected.
  void add_costs(std::vector<LeftOut>& left_out) {
    std::map<std::uint32_t, std::pair<std::int32_t, double>> good;
    for (const Outcome& one : outcomes_of(*plan_, left_out)) {
      const language::Protocol& protocol = plan_->protocol_of(plan_->batches[one.batch]);
      if (protocol.stages[one.stage].part != protocol.finished_part) continue;
      auto& [stage, plants] = good[one.batch];
      if (one.stage > stage) plants = 0;
      stage = std::max<std::int32_t>(stage, one.stage);
      if (one.stage == stage) plants += static_cast<double>(one.plants.good);
    }
    const plan::Costs costs = plan::batch_costs(*plan_, plan::total_needs(*plan_));
    for (const plan::BatchCost& cost : costs.batches) {
      const auto counted = good.find(cost.batch);
      if (counted == good.end()) continue;
      for (Gathered* group : groups({cost.batch, StageId(), "", "", 0})) {
        group->costs.push_back({counted->second.second, cost.total()});
        group->money += cost.total();
        group->good += counted->second.second;
        ++group->units;
        group->start_noted = group->start_noted && cost.complete;
        add_usual(*group, cost.a_plant,
                  static_cast<double>(plan_->facts_of(plan_->batches[cost.batch]).plants.value));
      }
    }
  }

  static void add_usual(Gathered& group, double usual, double weight) {
    if (!std::isfinite(usual)) return;
    group.usual += usual * weight;
    group.weight += weight;
  }

  Row row_of(const Key& key, const Gathered& group) const {
    Row row;
    row.book = std::get<0>(key);
    row.protocol = std::get<1>(key);
    row.group = std::get<4>(key);
    row.stage = group.stage;
    row.title = group.title;
    row.units = group.units;
    row.start_noted = group.start_noted;
    row.began = group.began;
    if (group.weight > 0) row.usual = group.usual / group.weight;
    switch (question_.of) {
      case Of::take:
        take(group, row);
        break;
      case Of::rate:
        rate(group, row);
        break;
      case Of::days:
        days(group, row);
        break;
      case Of::cost:
        row.amount = group.money;
        row.result = group.good;
        row.value = group.good > 0 ? group.money / group.good : std::nan("");
        row.estimate = estimate_of(group.costs);
        break;
    }
    return row;
  }

  static std::optional<statistics::Estimate> estimate_of(const std::vector<statistics::Job>& jobs) {
    const auto ratio = statistics::ratio_of_sums(jobs);
    if (!ratio) return std::nullopt;
    return statistics::Estimate{ratio->ratio, ratio->error, static_cast<double>(jobs.size()) - 1};
  }

  static void take(const Gathered& group, Row& row) {
    const statistics::Group all = statistics::all_of(group.counts);
    row.amount = static_cast<double>(all.of);
    row.result = static_cast<double>(all.good);
    row.value = row.result / row.amount;
    row.interval = statistics::scattered_interval(group.counts);
  }

  static void rate(const Gathered& group, Row& row) {
    for (const statistics::Job& job : group.jobs) {
      row.amount += job.x;
      row.result += job.y;
    }
    row.value = row.result / row.amount;
    if (const auto ratio = statistics::ratio_of_sums(group.jobs)) {
      row.interval = {std::max(ratio->interval.low, 0.0), ratio->interval.high};
    }
    row.estimate = estimate_of(group.jobs);
  }

  static void days(const Gathered& group, Row& row) {
    const auto [least, most] = std::minmax_element(group.days.begin(), group.days.end());
    row.seen = {*least, *most};
    for (const double one : group.days) row.value += one / static_cast<double>(group.days.size());
    if (group.weight > 0) row.range = {group.shortest, group.longest};
    row.estimate = statistics::mean_of(group.days);
  }

  const std::vector<Asked>& books_;
  const Question& question_;
  const plan::Plan* plan_ = nullptr;
  std::size_t book_ = 0;
  std::map<Key, Gathered> groups_;
};

}  // namespace

std::optional<By> find_by(std::string_view word) {
  return find_word<By>(word, by_words_in_order);
}

std::optional<Of> find_of(std::string_view word) {
  return find_word<Of>(word, of_words_in_order);
}

std::string_view word(By by) {
  return by_words_in_order[static_cast<std::size_t>(by)];
}

std::string_view word(Of of) {
  return of_words_in_order[static_cast<std::size_t>(of)];
}

std::vector<std::string> by_words() {
  return {by_words_in_order.begin(), by_words_in_order.end()};
}

std::vector<std::string> of_words() {
  return {of_words_in_order.begin(), of_words_in_order.end()};
}

Summary summarise(const std::vector<Asked>& books, const Question& question) {
  return Gatherer(books, question).run();
}

std::string misuse_of(const Question& question) {
  const auto none = [&](const char* because) {
    return "Results of " + std::string(word(question.of)) + " cannot be told by " +
           std::string(word(question.by)) + ": " + because;
  };
  if (question.of == Of::cost && !question.stage.empty()) {
    return "Costs are those of whole batches: leave --stage out.";
  }
  const bool of_parts = question.by == By::tray || question.by == By::person ||
                        question.by == By::room || question.by == By::week;
  if (question.of == Of::cost && of_parts) return none("costs are those of whole batches.");
  if (question.by == By::tray && question.of != Of::take) return none("only counts have trays.");
  if (question.of == Of::days && question.by == By::person) {
    return none("days of stages are nobody's.");
  }
  return "";
}

}  // namespace budwood::results
