#include "levelling/search/search.hpp"

#include <algorithm>
#include <chrono>

#include "levelling/search/branching.hpp"
#include "levelling/search/kernel.hpp"
#include "levelling/search/model.hpp"

namespace budwood::levelling {

namespace {

/// The sequence 1 1 2 1 1 2 4 ... (Luby, Sinclair & Zuckerman 1993), from place 1 on.
std::int64_t luby(std::int64_t place) {
  for (;;) {
    std::int64_t power = 1;
    while (2 * power - 1 < place) power *= 2;
    if (2 * power - 1 == place) return power;
    place -= power - 1;
  }
}

class Run {
 public:
  Run(const Problem& problem, const SearchOptions& options)
      : problem_(problem),
        options_(options),
        model_(make_model(problem, true)),
        kernel_(model_),
        branching_(model_, options.seed),
        begin_(std::chrono::steady_clock::now()) {}

  SearchResult run() {
    if (!model_.possible || !kernel_.start()) {
      result_.status = Status::infeasible;
      return result_;
    }
    if (options_.start) take_start(*options_.start);
    bool proven = true;
    for (const CostSum& sum : model_.sums) {
      const Outcome outcome = proven ? optimise(sum) : Outcome::stopped;
      if (outcome == Outcome::impossible) {
        result_.status = Status::infeasible;
        return result_;
      }
      proven = outcome == Outcome::refuted;
      if (proven) kernel_.require(at_most(sum.total, total_of(sum)));
    }
    if (model_.sums.empty() && !has_schedule()) {
      const Outcome outcome = seek({}, options_.conflicts);
      if (outcome == Outcome::impossible) result_.status = Status::infeasible;
      if (outcome != Outcome::found) return result_;
    }
    finish(proven);
    return result_;
  }

 private:
  enum class Outcome : std::uint8_t { found, refuted, impossible, limit, stopped };

  bool has_schedule() const { return !result_.schedule.days.empty(); }

  bool out_of_time() {
    if (result_.conflicts >= options_.conflicts) return true;
    const std::chrono::duration<double> past = std::chrono::steady_clock::now() - begin_;
    return past.count() >= options_.seconds || (options_.stop && options_.stop());
  }

  Cost cost_of_sum(const CostSum& sum) const {
    return result_.costs[static_cast<std::size_t>(&sum - model_.sums.data())];
  }
  /// The total of the best schedule, in units.
  Value total_of(const CostSum& sum) const {
    return static_cast<Value>((cost_of_sum(sum) + sum.unit - 1) / sum.unit);
  }

  /// Puts all dates where the schedule has them, so that all variables are known.
  void take_start(const Schedule& start) {
    const std::vector<Value> values = values_of(model_, start);
    for (VariableId x = 0; x < values.size(); ++x) {
      for (const Fact fact : {at_least(x, values[x]), at_most(x, values[x])}) {
        if (kernel_.bounds().holds(fact)) continue;
        kernel_.decide(fact);
        if (!kernel_.propagate()) {
          kernel_.back_to(0);
          return;
        }
      }
    }
    take_schedule();
  }

  /// Keeps the schedule that the bounds have come to.
  void take_schedule() {
    branching_.remember(kernel_.bounds());
    result_.schedule = schedule_of(model_, kernel_.bounds());
    result_.costs = cost_of(problem_, result_.schedule);
    kernel_.back_to(0);
    if (options_.improved) options_.improved(result_.schedule);
  }

  /// Looks for a schedule with `target`, for so many conflicts.
  Outcome seek(std::optional<Fact> target, std::int64_t conflicts) {
    const std::int64_t last =
        result_.conflicts + std::min(conflicts, options_.conflicts - result_.conflicts);
    for (;;) {
      if (!kernel_.propagate()) {
        ++result_.conflicts;
        ++since_restart_;
        if (!kernel_.learn()) return Outcome::impossible;
        if (out_of_time()) return give_up(Outcome::stopped);
        if (result_.conflicts >= last) return give_up(Outcome::limit);
        continue;
      }
      if (since_restart_ >= restart_after_) restart();
      if (kernel_.bounds().level() == 0 && target && !kernel_.bounds().holds(*target)) {
        if (kernel_.bounds().fails(*target)) return Outcome::refuted;
        kernel_.decide(*target);
        continue;
      }
      const std::optional<Fact> next = branching_.next(kernel_);
      if (!next) {
        take_schedule();
        return Outcome::found;
      }
      if (++result_.decisions % 256 == 0 && out_of_time()) return give_up(Outcome::stopped);
      kernel_.decide(*next);
    }
  }

  Outcome give_up(Outcome outcome) {
    kernel_.back_to(0);
    return outcome;
  }

  void restart() {
    kernel_.back_to(0);
    ++result_.restarts;
    since_restart_ = 0;
    const Branching::Way way = next_way();
    branching_.set_way(way);
    restart_after_ = way == Branching::Way::near_memory ? 300 : 100 * luby(result_.restarts);
    if (kernel_.clauses().size() < most_clauses_) return;
    kernel_.clauses().reduce();
    most_clauses_ += most_clauses_ / 20;
  }

  Branching::Way next_way() const {
    using Way = Branching::Way;
    const std::int64_t turn = result_.restarts;
    if (!branching_.has_memory()) return turn % 2 == 0 ? Way::by_time : Way::by_activity;
    if (getting_better_ && turn % 2 == 1) return Way::near_memory;
    return turn % 32 == 0 ? Way::by_time : Way::by_activity;
  }

  /// Refuted: nothing costs less than the schedule. Turns between getting better, in steps that
  /// double while they succeed, and proving that the cheapest cannot be.
  Outcome optimise(const CostSum& sum) {
    std::int64_t limit = 1000;
    Value step = 1;
    for (bool above = true;;) {
      const Value least = kernel_.bounds().least(sum.total);
      Value target = least;
      getting_better_ = above;
      if (has_schedule()) {
        const Value most = total_of(sum);
        if (least >= most) return Outcome::refuted;
        step = std::min(step, most - least);
        if (above) target = most - step;
      }
      const bool any = above && !has_schedule();
      const Outcome outcome = seek(any ? std::nullopt : std::optional(at_most(sum.total, target)),
                                   above && step == 1 ? limit : limit / 4);
      if (outcome == Outcome::impossible || outcome == Outcome::stopped) return outcome;
      if (outcome == Outcome::found) step = std::min(step, most_step) * 2;
      if (outcome == Outcome::refuted) step = std::max(step / 2, 1);
      if (outcome != Outcome::limit) continue;
      // A large step that fails is followed by the smallest one.
      if (above && step > 1) {
        step = 1;
        continue;
      }
      if (!above) limit += limit / 4;
      above = !above;
    }
  }

  void finish(bool proven) {
    result_.bounds.clear();
    for (const CostSum& sum : model_.sums) {
      const Cost least = kernel_.bounds().least(sum.total);
      result_.bounds.push_back(std::max<Cost>(0, (least - 1) * sum.unit + 1));
      if (least > 0 && exact(sum)) result_.bounds.back() = least * sum.unit;
    }
    if (!has_schedule()) return;
    for (std::size_t i = 0; i < model_.sums.size(); ++i) {
      proven = proven && result_.bounds[i] >= result_.costs[i];
    }
    result_.status = proven ? Status::optimal : Status::feasible;
  }

  /// Whether all weights are multiples of the unit.
  static bool exact(const CostSum& sum) {
    return std::all_of(sum.parts.begin(), sum.parts.end(),
                       [&](const CostPart& part) { return part.weight % sum.unit == 0; });
  }

  static constexpr Value most_step = 1 << 28;

  const Problem& problem_;
  const SearchOptions& options_;
  Model model_;
  Kernel kernel_;
  Branching branching_;
  std::chrono::steady_clock::time_point begin_;
  SearchResult result_;
  bool getting_better_ = true;
  std::int64_t since_restart_ = 0;
  std::int64_t restart_after_ = 100;
  std::size_t most_clauses_ = 8000;
};

}  // namespace

SearchResult search(const Problem& problem, const SearchOptions& options) {
  return Run(problem, options).run();
}

}  // namespace budwood::levelling
