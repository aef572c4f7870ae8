#include "levelling/pieces/solve.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

#include "levelling/pieces/improve.hpp"

namespace budwood::levelling {

namespace {

/// Up to so many points the complete search is left alone with the problem.
constexpr std::size_t most_for_search = 150;
/// What the complete search may do to a larger problem of many groups before pieces of it are
/// improved, and the share of the time for it.
constexpr std::int64_t conflicts_before_pieces = 5000;
constexpr double share_before_pieces = 0.25;

bool has_groups(const Problem& problem) {
  return std::any_of(problem.points.begin(), problem.points.end(), [&](const Point& point) {
    return point.group != problem.points.front().group;
  });
}

class Solver {
 public:
  Solver(const Problem& problem, const SolveOptions& options)
      : problem_(problem), options_(options), begin_(std::chrono::steady_clock::now()) {
    result_.schedule = options.start.value_or(Schedule{});
  }

  Solution run() {
    if (problem_.points.size() <= most_for_search || !has_groups(problem_)) {
      search_for(seconds_left(), std::numeric_limits<std::int64_t>::max());
    } else {
      search_for(seconds_left() * share_before_pieces, conflicts_before_pieces);
      if (result_.status == Status::unknown) {
        search_for(seconds_left(), std::numeric_limits<std::int64_t>::max(), true);
      }
      if (result_.status == Status::feasible) improve_pieces();
    }
    return {result_.status, std::move(result_.schedule), std::move(result_.costs),
            std::move(result_.bounds)};
  }

 private:
  double seconds_left() const {
    const std::chrono::duration<double> past = std::chrono::steady_clock::now() - begin_;
    return std::max(0.0, options_.seconds - past.count());
  }

  void search_for(double seconds, std::int64_t conflicts, bool first_only = false) {
    bool found = false;
    SearchOptions options;
    if (!result_.schedule.days.empty()) options.start = result_.schedule;
    options.conflicts = conflicts;
    options.seconds = seconds;
    options.seed = options_.seed;
    options.stop = [&] { return (first_only && found) || (options_.stop && options_.stop()); };
    options.improved = [&](const Schedule& schedule) {
      found = true;
      if (options_.improved) options_.improved(schedule);
    };
    result_ = search(problem_, options);
  }

  void improve_pieces() {
    ImproveOptions options;
    options.seconds = seconds_left();
    options.seed = options_.seed;
    options.stop = options_.stop;
    options.improved = options_.improved;
    Improvement improvement = improve(problem_, result_.schedule, options);
    result_.schedule = std::move(improvement.schedule);
    result_.costs = cost_of(problem_, result_.schedule);
    if (improvement.optimal || result_.costs == result_.bounds) {
      result_.status = Status::optimal;
      result_.bounds = result_.costs;
    }
  }

  const Problem& problem_;
  const SolveOptions& options_;
  std::chrono::steady_clock::time_point begin_;
  SearchResult result_;
};

}  // namespace

Solution solve(const Problem& problem, const SolveOptions& options) {
  return Solver(problem, options).run();
}

}  // namespace budwood::levelling
