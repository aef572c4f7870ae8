/// Why dates of the latest plan are not later, and those of the earliest not earlier.
///
/// A date is held by a chain of pushes: the dates are brought down once more, and each push
/// keeps the one that it came from. Links that happen to be tight in the finished plan would
/// not do, because a date can be held through another that had to give way again afterwards.
#pragma once

#include <optional>
#include <vector>

#include "network/solver.hpp"

namespace budwood::network {

/// One step of why a date is no later.
struct Binding {
  PointId point = 0;
  Day day = 0;    ///< the date is this day at the latest; of the first step, it is this day
  Fact fact;      ///< a link, the point's own `not_after`, or `allowed` when its days end there
  Day bound = 0;  ///< the day that the fact alone would allow; later than `day` when that day and
                  ///< those before it are not among the allowed ones
};

/// The pushes that brought a date where it is in the latest plan, from the last one back to a bound
/// that a point has by itself. The point of each step is bound through the next one's. Empty when
/// nothing bounds the date, or when the network has no plan.
std::vector<Binding> bindings(const Network& network, PointId point);

/// The same for the earliest plan: why a date is no earlier. Bounds are then `not_before`, and
/// `bound` comes before `day` where the days between are not allowed.
std::vector<Binding> earliest_bindings(const Network& network, PointId point);

}  // namespace budwood::network
