#include "climate/mist.hpp"

#include <cmath>

namespace budwood::climate {
namespace {

constexpr double day = 86400;  // seconds

bool is_time_of_day(double value) {
  return value >= 0 && value <= day;
}

}  // namespace

double window_of(const MistProgramme& programme) {
  const double length = std::fmod(programme.to - programme.from + day, day);
  return length > 0 ? length : day;
}

std::optional<MistDay> mist_day(const MistProgramme& programme) {
  const bool rhythm_fits =
      programme.pulse > 0 && programme.interval >= programme.pulse && programme.interval <= day;
  if (!rhythm_fits || !is_time_of_day(programme.from) || !is_time_of_day(programme.to)) {
    return std::nullopt;
  }
  if (!(programme.flow >= 0 && std::isfinite(programme.flow))) return std::nullopt;
  // Times come from formulas: an interval that goes into the window a whole number of times must
  // not gain a pulse at its very end from rounding.
  const double intervals = window_of(programme) / programme.interval;
  const double pulses = std::ceil(intervals * (1 - 1e-12));
  if (!(pulses < 1e15)) return std::nullopt;
  MistDay result;
  result.pulses = static_cast<std::int64_t>(pulses);
  result.time = pulses * programme.pulse;
  result.volume = result.time * programme.flow;
  return result;
}

}  // namespace budwood::climate
