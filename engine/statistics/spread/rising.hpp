/// Sums over a + i t for i from 0 to y - 1, of which the beta-binomial likelihood is made. Only for
/// this module's .cpp files.
#pragma once

#include <cmath>
#include <cstdint>

namespace budwood::statistics {

/// The sum of log(a + i t), and its first two derivatives by a.
struct Rising {
  double log = 0;
  double slope = 0;  ///< sum of 1 / (a + i t)
  double bend = 0;   ///< sum of -1 / (a + i t)^2
};

/// For a above 0 and t from 0 on: exact terms first, then Euler and Maclaurin's formula, so that
/// the cost does not grow with y and nothing is lost as t goes to 0 (where differences of log-gamma
/// functions lose all digits). Relative error below 1e-9.
inline Rising rising(double a, double t, std::int64_t y) {
  constexpr std::int64_t exact_terms = 16;
  Rising sum;
  const std::int64_t few = y < exact_terms ? y : exact_terms;
  for (std::int64_t i = 0; i < few; ++i) {
    const double u = a + static_cast<double>(i) * t;
    sum.log += std::log(u);
    sum.slope += 1 / u;
    sum.bend -= 1 / (u * u);
  }
  if (y <= exact_terms) return sum;
  const double u = a + static_cast<double>(exact_terms) * t;
  const double v = a + static_cast<double>(y) * t;
  const double terms = static_cast<double>(y - exact_terms);
  const double e = terms * t / u;
  // ((1 + e) log(1 + e) - e) / e and log(1 + e) / e, by series where they would cancel.
  const double mean_log = e > 1e-4 ? ((1 + e) * std::log1p(e) - e) / e : e / 2 - e * e / 6;
  const double mean_inverse = e > 1e-8 ? std::log1p(e) / e : 1 - e / 2;
  const double first = t / u;
  const double last = t / v;
  const auto cube = [](double x) { return x * x * x; };
  sum.log += terms * (std::log(u) + mean_log) + (std::log(u) - std::log(v)) / 2 +
             (last - first) / 12 - (cube(last) - cube(first)) / 360;
  sum.slope += terms * mean_inverse / u + (1 / u - 1 / v) / 2 + (first / u - last / v) / 12 -
               (cube(first) / u - cube(last) / v) / 120;
  sum.bend -= terms / (u * v) + (1 / (u * u) - 1 / (v * v)) / 2 +
              (first / (u * u) - last / (v * v)) / 6 -
              (cube(first) / (u * u) - cube(last) / (v * v)) / 30;
  return sum;
}

}  // namespace budwood::statistics
