#include "levelling/solve.hpp"

namespace budwood::levelling {

Solution solve(const Problem& problem, const SolveOptions& options) {
  SearchOptions search_options;
  search_options.start = options.start;
  search_options.seconds = options.seconds;
  search_options.seed = options.seed;
  search_options.stop = options.stop;
  search_options.improved = options.improved;
  SearchResult result = search(problem, search_options);
  return {result.status, std::move(result.schedule), std::move(result.costs),
          std::move(result.bounds)};
}

}  // namespace budwood::levelling
