/// From any contradiction to one that needs all its facts. Used inside this module only.
#pragma once

#include <optional>

#include "network/solver.hpp"
#include "network/tightening.hpp"

namespace budwood::network {

/// Leaves out what the contradiction does not need, until leaving out any one fact removes it, and
/// works out by how much it misses. One look at the rest for each fact, none when the facts are one
/// simple cycle of bounds. The order is that of the pushes from `side`.
void reduce(const Network& network, Conflict& conflict, Side side);

/// The smallest number of days, from 1 to `most`, for which `enough` holds; nothing when it does
/// not hold for `most`. `enough` must not fail for more days than it holds for.
template <class Enough>
std::optional<Day> fewest_days(Day most, Enough enough) {
  if (most < 1 || !enough(most)) return {};
  Day low = 1, high = 1;
  while (high < most && !enough(high)) {
    low = high + 1;
    high = high > most / 2 ? most : high * 2;
  }
  while (low < high) {
    const Day middle = low + (high - low) / 2;
    if (enough(middle)) {
      high = middle;
    } else {
      low = middle + 1;
    }
  }
  return high;
}

}  // namespace budwood::network
