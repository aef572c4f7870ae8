#include "levelling/pieces/improve.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

#include "levelling/pieces/neighbourhood.hpp"
#include "levelling/pieces/part.hpp"
#include "levelling/search/links.hpp"

namespace budwood::levelling {

namespace {

constexpr std::size_t fewest_points = 8;
constexpr std::size_t most_points = 400;

class Improver {
 public:
  Improver(const Problem& problem, const Schedule& start, const ImproveOptions& options)
      : problem_(problem),
        options_(options),
        links_(problem),
        takings_(problem, start),
        neighbourhood_(problem, links_, options.seed),
        size_(static_cast<double>(options.points)),
        begin_(std::chrono::steady_clock::now()) {
    improvement_.schedule = start;
  }

  Improvement run() {
    while (!finished()) round();
    return std::move(improvement_);
  }

 private:
  double seconds_left() const {
    const std::chrono::duration<double> past = std::chrono::steady_clock::now() - begin_;
    return options_.seconds - past.count();
  }

  bool finished() {
    const std::vector<Cost> costs = cost_of(problem_, improvement_.schedule);
    if (std::all_of(costs.begin(), costs.end(), [](Cost cost) { return cost == 0; })) {
      improvement_.optimal = true;
    }
    return improvement_.optimal || improvement_.rounds >= options_.rounds || seconds_left() <= 0 ||
           (options_.stop && options_.stop());
  }

  void round() {
    ++improvement_.rounds;
    const std::vector<PointId> freed =
        neighbourhood_.choose(improvement_.schedule, static_cast<std::size_t>(size_));
    const Part part(problem_, links_, takings_, improvement_.schedule, freed);
    SearchOptions search_options;
    search_options.start = part.start();
    search_options.conflicts = options_.conflicts_a_round;
    search_options.seconds = seconds_left();
    search_options.seed = options_.seed + static_cast<std::uint64_t>(improvement_.rounds);
    search_options.stop = options_.stop;
    const SearchResult result = search(part.problem(), search_options);
    if (result.schedule.days.empty()) return;
    adapt(result.status == Status::optimal, freed.size());
    if (result.costs >= cost_of(part.problem(), part.start())) return;
    part.write(result.schedule, problem_, improvement_.schedule, takings_);
    if (options_.improved) options_.improved(improvement_.schedule);
  }

  /// Pieces as large as can be solved.
  void adapt(bool solved, std::size_t freed) {
    if (solved && freed == problem_.points.size()) improvement_.optimal = true;
    size_ *= solved ? 1.03 : 0.9;
    size_ = std::clamp<double>(size_, fewest_points, most_points);
  }

  const Problem& problem_;
  const ImproveOptions& options_;
  Links links_;
  Takings takings_;
  Neighbourhood neighbourhood_;
  Improvement improvement_;
  double size_;
  std::chrono::steady_clock::time_point begin_;
};

}  // namespace

Improvement improve(const Problem& problem, const Schedule& start, const ImproveOptions& options) {
  return Improver(problem, start, options).run();
}

}  // namespace budwood::levelling
