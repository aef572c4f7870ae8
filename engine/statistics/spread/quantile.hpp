#pragma once

#include <optional>
#include <span>

namespace budwood::statistics {

/// How long things take, from how long they took: no shape of distribution is assumed.

/// A quantile and, from the order of the values alone, its limits. A limit is missing where there
/// are too few values to have one: a median has both from six values on.
struct QuantileEstimate {
  double value = 0;
  std::optional<double> low, high;
};

/// The median-unbiased estimate of the value below which a share of all lie (Hyndman & Fan 1996,
/// Am. Stat. 50:361-365, definition 8), with limits between the values of which the binomial
/// distribution says so (Conover 1999, Practical Nonparametric Statistics, 3rd ed., section 3.2).
/// `ascending` is in order. Refused, with nothing: no value, values that are not finite, a share or
/// a confidence not above 0 and below 1.
std::optional<QuantileEstimate> quantile_of(std::span<const double> ascending, double share,
                                            double confidence = 0.95);

/// How likely the next value lies between the smallest and the largest of n that were seen,
/// (n - 1) / (n + 1) (Wilks 1941, Ann. Math. Stat. 12:91-96, for values that are never alike); 0
/// for fewer than two.
double chance_between_extremes(std::size_t n);

}  // namespace budwood::statistics
