#pragma once

#include <cstdint>
#include <optional>

#include "statistics/intervals.hpp"

namespace budwood::statistics {

/// x of n plants are good, in one treatment.
struct Group {
  std::int64_t good = 0;
  std::int64_t of = 0;
};

/// Intervals for the share of the first group less that of the second (Newcombe 1998, Stat. Med.
/// 17:873-890, whose numbers of methods these are). Refused, with nothing, as in intervals.hpp.

double difference(const Group& first, const Group& second);

/// Method 10: from the Wilson limits of both groups. The one to use unless another is asked for.
std::optional<Interval> newcombe(const Group& first, const Group& second, double confidence = 0.95);

/// Method 11: the same from Wilson limits with continuity correction.
std::optional<Interval> newcombe_corrected(const Group& first, const Group& second,
                                           double confidence = 0.95);

/// Method 6: all differences that a score test does not reject (Miettinen & Nurminen 1985, Stat.
/// Med. 4:213-226; the restricted estimates in the closed form of Farrington & Manning 1990, Stat.
/// Med. 9:1447-1454).
std::optional<Interval> miettinen_nurminen(const Group& first, const Group& second,
                                           double confidence = 0.95);

/// The same without Miettinen and Nurminen's N / (N - 1) in the variance (Mee 1984, Biometrics
/// 40:1175-1176): method 5.
std::optional<Interval> mee(const Group& first, const Group& second, double confidence = 0.95);

/// Method 1: plus or minus z standard errors. Limits may leave -1 to 1.
std::optional<WaldInterval> wald_difference(const Group& first, const Group& second,
                                            double confidence = 0.95);

}  // namespace budwood::statistics
