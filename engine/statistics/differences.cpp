#include "statistics/differences.hpp"

#include <cmath>
#include <limits>

#include "statistics/binomial.hpp"

namespace budwood::statistics {
namespace {

bool is_group(const Group& g) {
  return g.good >= 0 && g.good <= g.of && g.of >= 1 && g.of <= largest_count;
}

double share(const Group& g) {
  return static_cast<double>(g.good) / static_cast<double>(g.of);
}

}  // namespace

double difference(const Group& first, const Group& second) {
  if (!is_group(first) || !is_group(second)) return std::numeric_limits<double>::quiet_NaN();
  return share(first) - share(second);
}

std::optional<Interval> newcombe(const Group& first, const Group& second, double confidence) {
  if (!is_group(first) || !is_group(second)) return std::nullopt;
  const auto of_first = wilson(first.good, first.of, confidence);
  const auto of_second = wilson(second.good, second.of, confidence);
  if (!of_first || !of_second) return std::nullopt;
  const double p1 = share(first);
  const double p2 = share(second);
  // Limits of the groups, squared and added on the side that matters.
  return Interval{p1 - p2 - std::hypot(p1 - of_first->low, of_second->high - p2),
                  p1 - p2 + std::hypot(of_first->high - p1, p2 - of_second->low)};
}

}  // namespace budwood::statistics
