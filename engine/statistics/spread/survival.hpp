#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "statistics/intervals.hpp"

namespace budwood::statistics {

/// So many plants were followed to a day, and then were lost (an event) or out of sight: alive when
/// last counted, sold, under way.
struct Followed {
  double time = 0;
  std::int64_t plants = 1;
  bool is_event = true;
};

/// A step of the curve: from this time on.
struct SurvivalStep {
  double time = 0;
  std::int64_t at_risk = 0;  ///< just before, those that leave sight on the same day included
  std::int64_t events = 0;
  double survival = 1;
  double error = 0;       ///< standard error (Greenwood 1926)
  Interval interval;      ///< on the scale of log(-log), which never leaves 0 to 1
  Interval log_interval;  ///< on the scale of log, cut at 1
};

/// The share alive over time by the product limit (Kaplan & Meier 1958, J. Am. Stat. Assoc.
/// 53:457-481): a step a day with an event. Times below 0 or not finite and plants below 1 are left
/// out.
std::vector<SurvivalStep> survival_curve(std::span<const Followed> plants,
                                         double confidence = 0.95);

/// The first time at which no more than half are alive; nothing when more always are.
std::optional<double> median_survival(std::span<const SurvivalStep> curve);

/// Whether two groups are lost alike (log-rank; Mantel 1966, Cancer Chemother. Rep. 50:163-170).
struct LogRankTest {
  double observed[2] = {0, 0};
  double expected[2] = {0, 0};
  double chi_square = 0;
  double p = 1;
};
/// Nothing where no event can tell them apart.
std::optional<LogRankTest> log_rank(std::span<const Followed> first,
                                    std::span<const Followed> second);

/// How much sooner than expected the plants of each unit (a tray) had their events, if all units
/// were alike: events less those that follow from the curve of all units together, a plant (the
/// scores of which the log-rank test is made; Peto & Peto 1972, J. R. Stat. Soc. A 135:185-207).
/// Above 0: sooner. Units without plants have 0.
std::vector<double> log_rank_scores(std::span<const std::vector<Followed>> units);

}  // namespace budwood::statistics
