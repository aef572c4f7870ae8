#include "statistics/spread/ratio.hpp"

#include <cmath>

#include "statistics/comparing/student.hpp"

namespace budwood::statistics {

std::optional<Ratio> ratio_of_sums(std::span<const Job> jobs, double confidence) {
  double x = 0;
  double y = 0;
  for (const Job& job : jobs) {
    if (!(job.x >= 0) || !std::isfinite(job.x) || !std::isfinite(job.y)) return std::nullopt;
    x += job.x;
    y += job.y;
  }
  if (jobs.size() < 2 || !(x > 0) || !(confidence > 0 && confidence < 1)) return std::nullopt;
  const auto n = static_cast<double>(jobs.size());
  Ratio found;
  found.ratio = y / x;
  double misses = 0;
  for (const Job& job : jobs) misses += std::pow(job.y - found.ratio * job.x, 2);
  found.error = std::sqrt(n * misses / (n - 1)) / x;
  const double reach = two_sided_t(confidence, n - 1) * found.error;
  found.interval = {found.ratio - reach, found.ratio + reach};
  return found;
}

double LearningCurve::exponent() const {
  return std::log2(rate);
}

double LearningCurve::unit(double n) const {
  return first * std::pow(n, exponent());
}

double LearningCurve::total(long n) const {
  double sum = 0;
  for (long i = 1; i <= n; ++i) sum += unit(static_cast<double>(i));
  return sum;
}

std::optional<LearningCurve> fit_learning_curve(std::span<const Job> units) {
  double log_x = 0;
  double log_y = 0;
  const auto n = static_cast<double>(units.size());
  for (const Job& unit : units) {
    if (!(unit.x > 0 && unit.y > 0) || !std::isfinite(unit.x) || !std::isfinite(unit.y)) {
      return std::nullopt;
    }
    log_x += std::log(unit.x) / n;
    log_y += std::log(unit.y) / n;
  }
  double squares = 0;
  double products = 0;
  for (const Job& unit : units) {
    const double x = std::log(unit.x) - log_x;
    squares += x * x;
    products += x * (std::log(unit.y) - log_y);
  }
  if (!(squares > 0)) return std::nullopt;
  const double slope = products / squares;
  return LearningCurve{std::exp(log_y - slope * log_x), std::exp2(slope)};
}

}  // namespace budwood::statistics
