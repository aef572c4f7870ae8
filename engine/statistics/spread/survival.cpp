#include "statistics/spread/survival.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "statistics/comparing/student.hpp"
#include "statistics/normal.hpp"

namespace budwood::statistics {
namespace {

struct DayCounts {
  std::int64_t events = 0;
  std::int64_t leaving = 0;  ///< events and those out of sight
};

std::map<double, DayCounts> by_day(std::span<const Followed> plants) {
  std::map<double, DayCounts> days;
  for (const Followed& f : plants) {
    if (!(f.time >= 0) || !std::isfinite(f.time) || f.plants < 1) continue;
    DayCounts& day = days[f.time];
    day.leaving += f.plants;
    if (f.is_event) day.events += f.plants;
  }
  return days;
}

/// Limits from the sum of events / (at risk * (at risk - events)) so far.
void set_limits(SurvivalStep& step, double sum, double z) {
  const double s = step.survival;
  if (!(s > 0 && s < 1)) {
    step.interval = step.log_interval = {s, s};
    return;
  }
  const double error = std::sqrt(sum);
  step.error = s * error;
  step.log_interval = {s * std::exp(-z * error), std::min(1.0, s * std::exp(z * error))};
  const double reach = z * error / std::abs(std::log(s));
  step.interval = {std::pow(s, std::exp(reach)), std::pow(s, std::exp(-reach))};
}

}  // namespace

std::vector<SurvivalStep> survival_curve(std::span<const Followed> plants, double confidence) {
  const auto days = by_day(plants);
  const double z = two_sided_z(confidence);
  std::int64_t at_risk = 0;
  for (const auto& [time, day] : days) at_risk += day.leaving;
  std::vector<SurvivalStep> curve;
  double survival = 1;
  double sum = 0;
  for (const auto& [time, day] : days) {
    if (day.events > 0) {
      const auto risk = static_cast<double>(at_risk);
      const auto events = static_cast<double>(day.events);
      survival *= (risk - events) / risk;
      sum += day.events < at_risk ? events / (risk * (risk - events)) : 0;
      SurvivalStep step;
      step.time = time;
      step.at_risk = at_risk;
      step.events = day.events;
      step.survival = survival;
      set_limits(step, sum, z);
      curve.push_back(step);
    }
    at_risk -= day.leaving;
  }
  return curve;
}

std::optional<double> median_survival(std::span<const SurvivalStep> curve) {
  for (const SurvivalStep& step : curve) {
    if (step.survival <= 0.5) return step.time;
  }
  return std::nullopt;
}

std::optional<LogRankTest> log_rank(std::span<const Followed> first,
                                    std::span<const Followed> second) {
  const auto a = by_day(first);
  const auto b = by_day(second);
  double risk_a = 0;
  double risk_b = 0;
  auto all = a;
  for (const auto& [time, day] : a) risk_a += static_cast<double>(day.leaving);
  for (const auto& [time, day] : b) {
    risk_b += static_cast<double>(day.leaving);
    all[time].leaving += day.leaving;
    all[time].events += day.events;
  }
  LogRankTest test;
  double variance = 0;
  for (const auto& [time, day] : all) {
    const auto events = static_cast<double>(day.events);
    const double risk = risk_a + risk_b;
    const DayCounts of_a = a.contains(time) ? a.at(time) : DayCounts{};
    test.observed[0] += static_cast<double>(of_a.events);
    test.observed[1] += events - static_cast<double>(of_a.events);
    test.expected[0] += events * risk_a / risk;
    test.expected[1] += events * risk_b / risk;
    if (risk > 1) {
      variance += events * risk_a * risk_b * (risk - events) / (risk * risk * (risk - 1));
    }
    risk_a -= static_cast<double>(of_a.leaving);
    risk_b -= static_cast<double>(day.leaving - of_a.leaving);
  }
  if (!(variance > 0)) return std::nullopt;
  test.chi_square = std::pow(test.observed[0] - test.expected[0], 2) / variance;
  test.p = chi_square_above(test.chi_square, 1);
  return test;
}

std::vector<double> log_rank_scores(std::span<const std::vector<Followed>> units) {
  std::vector<Followed> all;
  for (const auto& unit : units) all.insert(all.end(), unit.begin(), unit.end());
  std::map<double, double> hazard;  // up to and with each day
  double at_risk = 0;
  const auto days = by_day(all);
  for (const auto& [time, day] : days) at_risk += static_cast<double>(day.leaving);
  double sum = 0;
  for (const auto& [time, day] : days) {
    sum += static_cast<double>(day.events) / at_risk;
    hazard[time] = sum;
    at_risk -= static_cast<double>(day.leaving);
  }
  std::vector<double> scores;
  for (const auto& unit : units) {
    double score = 0;
    double plants = 0;
    for (const auto& [time, day] : by_day(unit)) {
      plants += static_cast<double>(day.leaving);
      score += static_cast<double>(day.events) - static_cast<double>(day.leaving) * hazard.at(time);
    }
    scores.push_back(plants > 0 ? score / plants : 0);
  }
  return scores;
}

}  // namespace budwood::statistics
