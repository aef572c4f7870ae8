/// Sums over a + i t for i from 0 to y - 1, of which the beta-binomial likelihood is made. Only for
/// this module's .cpp files.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

namespace budwood::statistics {

/// The first two derivatives, by a, of a sum of log(a + i t).
struct RisingSlope {
  double slope = 0;  ///< sum of 1 / (a + i t)
  double bend = 0;   ///< sum of -1 / (a + i t)^2
};

/// The sums of many counts y at once, for a above 0 and t from 0 on. The first terms are exact, and
/// each is worked out once for all counts that reach it; what is left follows from Euler and
/// Maclaurin's formula, so that the cost does not grow with y and nothing is lost as t goes to 0
/// (where differences of log-gamma functions lose all digits). Relative error below 1e-9.
class Rising {
 public:
  void add(std::int64_t y) {
    const std::int64_t few = y < exact_terms ? y : exact_terms;
    for (std::int64_t i = 0; i < few; ++i) ++reaching_[static_cast<std::size_t>(i)];
    if (y > exact_terms) longer_.push_back(static_cast<double>(y));
  }

  /// The sum of log(a + i t).
  double log(double a, double t) const {
    double sum = 0;
    for (std::size_t i = 0; i < reaching_.size() && reaching_[i] > 0; ++i) {
      sum += reaching_[i] * std::log(a + static_cast<double>(i) * t);
    }
    if (longer_.empty()) return sum;
    const double u = a + exact_terms * t;
    const double log_u = std::log(u);
    for (const double y : longer_) sum += rest_of_log(a, t, y, u, log_u);
    return sum;
  }

  RisingSlope slope(double a, double t) const {
    RisingSlope sum;
    for (std::size_t i = 0; i < reaching_.size() && reaching_[i] > 0; ++i) {
      const double inverse = 1 / (a + static_cast<double>(i) * t);
      sum.slope += reaching_[i] * inverse;
      sum.bend -= reaching_[i] * inverse * inverse;
    }
    const double u = a + exact_terms * t;
    for (const double y : longer_) add_rest(sum, a, t, y, u);
    return sum;
  }

 private:
  static constexpr int exact_terms = 16;

  static double cube(double x) { return x * x * x; }

  static double rest_of_log(double a, double t, double y, double u, double log_u) {
    const double v = a + y * t;
    const double terms = y - exact_terms;
    const double e = terms * t / u;
    // ((1 + e) log(1 + e) - e) / e, by its series where it would cancel.
    const double mean = e > 1e-4 ? ((1 + e) * std::log1p(e) - e) / e : e / 2 - e * e / 6;
    return terms * (log_u + mean) + (log_u - std::log(v)) / 2 + (t / v - t / u) / 12 -
           (cube(t / v) - cube(t / u)) / 360;
  }

  static void add_rest(RisingSlope& sum, double a, double t, double y, double u) {
    const double v = a + y * t;
    const double terms = y - exact_terms;
    const double e = terms * t / u;
    const double mean = e > 1e-8 ? std::log1p(e) / e : 1 - e / 2;
    const double first = t / u;
    const double last = t / v;
    sum.slope += terms * mean / u + (1 / u - 1 / v) / 2 + (first / u - last / v) / 12 -
                 (cube(first) / u - cube(last) / v) / 120;
    sum.bend -= terms / (u * v) + (1 / (u * u) - 1 / (v * v)) / 2 +
                (first / (u * u) - last / (v * v)) / 6 -
                (cube(first) / (u * u) - cube(last) / (v * v)) / 30;
  }

  std::array<double, exact_terms> reaching_{};  ///< how many counts have such a term
  std::vector<double> longer_;                  ///< counts with more terms
};

}  // namespace budwood::statistics
