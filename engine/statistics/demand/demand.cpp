#include "statistics/demand/demand.hpp"

#include <algorithm>
#include <boost/math/distributions/triangular.hpp>
#include <cmath>

namespace budwood::statistics {

namespace {

boost::math::triangular around(std::int64_t least, std::int64_t usual, std::int64_t most) {
  constexpr double half = 0.5;
  return boost::math::triangular(static_cast<double>(least) - half, static_cast<double>(usual),
                                 static_cast<double>(most) + half);
}

}  // namespace

std::optional<Demand> Demand::between(std::int64_t least, std::int64_t usual, std::int64_t most) {
  if (least < 0 || least > usual || usual > most) return std::nullopt;
  return Demand(least, usual, most);
}

double Demand::at_most(std::int64_t k) const {
  if (k < least_) return 0;
  if (k >= most_) return 1;
  return boost::math::cdf(around(least_, usual_, most_), static_cast<double>(k) + 0.5);
}

double Demand::mean() const {
  const auto sure = [](std::int64_t) { return 1.0; };
  return met(*this, static_cast<double>(most_), {most_, most_}, sure).sold;
}

std::int64_t Demand::quantile(double share) const {
  std::int64_t low = least_;
  std::int64_t high = most_;
  while (low < high) {
    const std::int64_t middle = low + (high - low) / 2;
    if (at_most(middle) >= share) {
      high = middle;
    } else {
      low = middle + 1;
    }
  }
  return low;
}

Met met(const Demand& demand, double mean, const Reach& reach,
        const std::function<double(std::int64_t)>& at_least) {
  constexpr std::int64_t most_terms = 4096;
  // The mean of the smaller of both is the sum of the chances that both are above each number.
  const std::int64_t first = std::min(reach.lowest, demand.least());
  const auto chance = [&](std::int64_t number) {
    if (number <= reach.lowest) return 1.0;
    return number > reach.highest ? 0.0 : at_least(number);
  };
  const std::int64_t step = std::max<std::int64_t>(1, (demand.most() - first) / most_terms);
  Met out;
  double wanted = static_cast<double>(first);
  out.sold = static_cast<double>(first);
  double before = 0;
  for (std::int64_t number = first; number < demand.most(); number += step) {
    const std::int64_t width = std::min(step, demand.most() - number);
    const std::int64_t middle = number + (width - 1) / 2;
    const double more_wanted = 1 - demand.at_most(middle);
    wanted += static_cast<double>(width) * more_wanted;
    const double more_there = chance(middle + 1);
    out.sold += static_cast<double>(width) * more_wanted * more_there;
    const double until = demand.at_most(number + width - 1);
    out.enough += (until - before) * chance(middle);
    before = until;
  }
  out.enough += (1 - before) * chance(demand.most());
  out.over = std::max(0.0, mean - out.sold);
  out.lack = std::max(0.0, wanted - out.sold);
  return out;
}

std::int64_t best_number(const Demand& demand, double too_many, double too_few) {
  return demand.quantile(too_few / (too_few + too_many));
}

}  // namespace budwood::statistics
