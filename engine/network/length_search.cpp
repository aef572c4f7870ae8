#include "network/length_search.hpp"

#include <algorithm>

namespace budwood::network {
namespace {

bool in_calendar(Day day) {
  return day >= calendar::first_day && day <= calendar::last_day;
}

/// The smallest day in [low, high] for which `holds` is true, given that it is true from some day
/// on and true for `high`.
template <class Holds>
Day first_that(Day low, Day high, Holds holds) {
  while (low < high) {
    const Day middle = low + (high - low) / 2;
    if (holds(middle)) {
      high = middle;
    } else {
      low = middle + 1;
    }
  }
  return high;
}

/// The first start whose end is known.
std::optional<Day> first_known_start(const MonotoneLength& length) {
  if (!length.latest_start(calendar::last_day)) return {};
  const Day first_end = first_that(calendar::first_day, calendar::last_day,
                                   [&](Day day) { return length.latest_start(day).has_value(); });
  const Day known = *length.latest_start(first_end);
  return first_that(calendar::first_day, known,
                    [&](Day day) { return length.end_of(day).has_value(); });
}

}  // namespace

std::optional<Day> end_within_calendar(const MonotoneLength& length, Day start) {
  if (!in_calendar(start)) return {};
  return length.end_of(start);
}

std::optional<Day> last_start(const MonotoneLength& length, Day end) {
  if (end < calendar::first_day) return {};
  return length.latest_start(std::min(end, calendar::last_day));
}

std::optional<Day> first_start(const MonotoneLength& length, Day end) {
  if (end > calendar::last_day) return {};
  const Day before = std::max(end, calendar::first_day) - 1;
  const auto too_early = before >= calendar::first_day ? length.latest_start(before) : std::nullopt;
  if (!too_early) return first_known_start(length);
  if (!end_within_calendar(length, *too_early + 1)) return {};
  return *too_early + 1;
}

}  // namespace budwood::network
