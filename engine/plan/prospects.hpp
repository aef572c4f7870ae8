/// What comes of a batch, exactly; worked out when it is shown, not in the sheet. Sure means
/// sure for each chain: each that loses plants is made sure to the k-th root of what is asked,
/// k counting those chains alone. As each chain must bring the whole number that the next one
/// starts with, the result is mostly surer than asked. The smallest starts whose joint chance
/// is just enough would be fewer; that search is not made.
#pragma once

#include <cstdint>
#include <optional>

#include "sheet/row.hpp"

namespace budwood::plan {

struct Plan;
struct BatchPlan;

/// How many plants a batch will bring, with the chances of its losses.
struct Prospects {
  double expected = 0;    ///< on average
  std::int64_t low = 0;   ///< fewer come in 5 of 100 cases
  std::int64_t high = 0;  ///< more come in 5 of 100 cases
  double chance = 0;      ///< that the number ordered is reached
  /// Plants go two ways in the protocol: then `chance` is the least that it can be, and `low` and
  /// `high` are not known.
  bool bound = false;
};

/// Exact over the whole protocol: each chain thins what comes into it, a join takes the smallest of
/// its parts (statistics::Counts). Stages are taken to be independent. Nothing when a count has no
/// value.
std::optional<Prospects> prospects(const Plan& plan, const BatchPlan& batch);

}  // namespace budwood::plan
