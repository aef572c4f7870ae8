#pragma once

#include <cstdint>
#include <optional>

namespace budwood::climate {

/// When a mist line opens: pulses of one length, at one interval, in one window of every day.
/// All times in seconds.
struct MistProgramme {
  double pulse = 0;     ///< how long the valve stays open
  double interval = 0;  ///< from the start of one pulse to the start of the next
  double from = 0;      ///< time of day at which the first pulse starts, 0 to 86400
  double to = 86400;    ///< time of day from which no more pulse starts, 0 to 86400
  double flow = 0;      ///< of all nozzles together while the valve is open, m3/s
};

/// What the programme comes to in a day.
struct MistDay {
  std::int64_t pulses = 0;
  double time = 0;    ///< seconds that the valve is open
  double volume = 0;  ///< m3 of water
};

/// How long the window of a programme is, seconds; both times lie in the day.
double window_of(const MistProgramme& programme);

/// Pulses start at `from` and then every interval while it is earlier than `to`; each runs its full
/// length. A window whose `to` comes before its `from` goes across midnight; one that ends where it
/// starts is round the clock. Nothing when a pulse or interval is not above 0, a pulse is longer
/// than its interval, the interval is longer than a day, a time of day is outside the day, or the
/// flow is negative.
std::optional<MistDay> mist_day(const MistProgramme& programme);

}  // namespace budwood::climate
