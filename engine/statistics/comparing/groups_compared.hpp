#pragma once

#include <optional>
#include <span>
#include <vector>

#include "statistics/differences.hpp"
#include "statistics/intervals.hpp"

namespace budwood::statistics {

/// Techniques, each in several trays (plates, litters) whose plants share their luck. Counting
/// plants as if each were on its own makes differences look surer than they are.

/// A chi-square with 1 degree of freedom.
struct ChiSquareTest {
  double chi_square = 0;
  double p = 1;
};

/// Pearson's test of whether groups share one rate, plants added up, without correction, with one
/// degree of freedom less than groups: right only where trays do not scatter. Refused, with
/// nothing: groups that are not counts, an empty one, fewer than two, all or none good.
std::optional<ChiSquareTest> pearson_test(std::span<const Group> groups);

/// Rao & Scott 1992, Biometrics 48:577-585: counts of each technique divided by its design effect,
/// then Pearson's test. A technique whose trays scatter less than a binomial keeps its counts, luck
/// must not narrow anything. Refused also where one has fewer than two trays.
std::optional<ChiSquareTest> rao_scott_test(std::span<const std::vector<Group>> techniques);

/// The difference of the shares of all plants, first less second, with the error that trays give
/// each (share_variance, never less than the binomial's).
struct TrayDifference {
  double difference = 0;
  double error = 0;
  double z = 0;
  double p = 1;       ///< normal, two-sided
  Interval interval;  ///< by Student's t with as many degrees of freedom as trays less two
};
std::optional<TrayDifference> tray_difference(std::span<const Group> first,
                                              std::span<const Group> second,
                                              double confidence = 0.95);

/// A number that rests on so many units, with its standard error.
struct Estimate {
  double value = 0;
  double error = 0;
  double degrees = 0;  ///< of freedom: one less than units
};
/// The mean of some values. Nothing for fewer than two.
std::optional<Estimate> mean_of(std::span<const double> values);

/// Welch's test of two numbers whose units scatter differently (Welch 1947, Biometrika 34:28-35).
struct WelchTest {
  double difference = 0;
  double t = 0;
  double degrees = 0;
  double p = 1;
  Interval interval;
};
/// Refused, with nothing: no degrees of freedom, no error in either, numbers that are not finite.
std::optional<WelchTest> welch_test(const Estimate& first, const Estimate& second,
                                    double confidence = 0.95);

/// Adjusts p values of several comparisons so that the risk of a single false alarm among all of
/// them stays (Holm 1979, Scand. J. Statist. 6:65-70). In the order given; a NaN stays one and does
/// not count.
std::vector<double> holm(std::span<const double> p);

}  // namespace budwood::statistics
