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

/// The share of the first group less that of the second, and an interval for it. Refused, with a
/// NaN or nothing, as in intervals.hpp.

double difference(const Group& first, const Group& second);

/// From the Wilson limits of both groups (Newcombe 1998, Stat. Med. 17:873-890, method 10).
std::optional<Interval> newcombe(const Group& first, const Group& second, double confidence = 0.95);

}  // namespace budwood::statistics
