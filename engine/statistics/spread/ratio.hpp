#pragma once

#include <optional>
#include <span>

#include "statistics/intervals.hpp"

namespace budwood::statistics {

/// One job: so much of y (minutes) for so much of x (plants).
struct Job {
  double x = 0;
  double y = 0;
};

/// Sum of y over sum of x: what a unit of x takes. The mean of the jobs' own ratios is another
/// number, and too high for big jobs where small ones are slower (Cochran 1977, Sampling
/// Techniques, ch. 6).
struct Ratio {
  double ratio = 0;
  double error = 0;   ///< standard error, with the mean x of these jobs
  Interval interval;  ///< by Student's t with one degree of freedom less than jobs
};

/// Refused, with nothing: fewer than two jobs, an x that is below 0 or all of them 0, numbers that
/// are not finite.
std::optional<Ratio> ratio_of_sums(std::span<const Job> jobs, double confidence = 0.95);

/// The learning curve of a kind of work: each doubling of the units done takes `rate` times the
/// time. Two models that go by the same name give different totals (Wright 1936, J. Aeronaut. Sci.
/// 3:122-128, is about the average; Crawford's about the unit).
struct LearningCurve {
  double first = 0;  ///< time of the first unit
  double rate = 1;   ///< 0.8 for an "80 % curve"

  double exponent() const;
  /// The time of the n-th unit (unit model), n at least 1.
  double unit(double n) const;
  /// The time of the first n units in the unit model: a sum.
  double total(long n) const;
};

/// The curve through times of units, by least squares of logarithms; x is the unit's number, y its
/// time. Refused, with nothing: fewer than two different units, numbers that are not above 0.
std::optional<LearningCurve> fit_learning_curve(std::span<const Job> units);

}  // namespace budwood::statistics
