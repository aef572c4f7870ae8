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

namespace {

/// The numbers from `from` to just below `to`, each with a width of 1, or in steps of as many as
/// leave some thousands.
template <typename Look>
void in_steps(std::int64_t from, std::int64_t to, const Look& look) {
  constexpr std::int64_t most_terms = 4096;
  const std::int64_t step = std::max<std::int64_t>(1, (to - from) / most_terms);
  for (std::int64_t number = from; number < to; number += step) {
    look(number, std::min(step, to - number));
  }
}

}  // namespace

Met met(const Demand& demand, double mean, const Reach& reach,
        const std::function<double(std::int64_t)>& at_least) {
  // The mean of the smaller of both is the sum of the chances that both are above each number.
  const std::int64_t first = std::min(reach.lowest, demand.least());
  const auto chance = [&](std::int64_t number) {
    if (number <= reach.lowest) return 1.0;
    return number > reach.highest ? 0.0 : at_least(number);
  };
  Met out;
  double wanted = static_cast<double>(first);
  out.sold = static_cast<double>(first);
  double before = 0;
  const auto look = [&](std::int64_t number, std::int64_t width) {
    const std::int64_t middle = number + (width - 1) / 2;
    const double more_wanted = 1 - demand.at_most(middle);
    wanted += static_cast<double>(width) * more_wanted;
    const double more_there = chance(middle + 1);
    out.sold += static_cast<double>(width) * more_wanted * more_there;
    const double until = demand.at_most(number + width - 1);
    out.enough += (until - before) * chance(middle);
    before = until;
  };
  // Steps are as fine as each part wants them: few plants may come where very many can be wanted.
  const std::int64_t low = std::clamp(reach.lowest, first, demand.most());
  const std::int64_t high = std::clamp(reach.highest, low, demand.most());
  in_steps(first, low, look);
  in_steps(low, high, look);
  in_steps(high, demand.most(), look);
  out.enough += (1 - before) * chance(demand.most());
  out.over = std::max(0.0, mean - out.sold);
  out.lack = std::max(0.0, wanted - out.sold);
  return out;
}

}  // namespace budwood::statistics
