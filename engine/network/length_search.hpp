/// Questions to a MonotoneLength, kept inside the calendar. Used inside this module only.
#pragma once

#include <optional>

#include "network/network.hpp"

namespace budwood::network {

/// The end of what starts on `start`; nothing when it is not known.
std::optional<Day> end_within_calendar(const MonotoneLength& length, Day start);

/// The latest start whose end is known and not after `end`.
std::optional<Day> last_start(const MonotoneLength& length, Day end);

/// The earliest start whose end is known and not before `end`. Asks the length a few dozen times at
/// most: it searches by halves for the first known start.
std::optional<Day> first_start(const MonotoneLength& length, Day end);

}  // namespace budwood::network
