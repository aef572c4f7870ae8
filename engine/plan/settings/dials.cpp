#include "plan/settings/dials.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "units/rounding.hpp"

namespace budwood::plan {

using language::Measure;

namespace {

constexpr double minute = 60;
constexpr double hour = 3600;

/// The steps of usual dials, base units: of what is worked out, and how finely they can be read.
/// Common practice, no published source.
struct UsualStep {
  Measure measure;
  double between = 0, written = 0;
};
const UsualStep& usual_step(Measure measure) {
  constexpr double day = 86400;
  static const std::vector<UsualStep> all = {{Measure::air, 1, 0.5},
                                             {Measure::leaf, 1, 0.5},
                                             {Measure::root_zone, 1, 0.5},
                                             {Measure::humidity, 0.05, 0.01},
                                             {Measure::vpd, 100, 10},
                                             {Measure::light, 10e-6, 1e-6},
                                             {Measure::photoperiod, 900, 300},
                                             {Measure::shade, 0.05, 0.01},
                                             {Measure::co2, 50e-6, 10e-6},
                                             {Measure::irrigation, 0.5e-3 / day, 0.1e-3 / day},
                                             {Measure::light_sum, 0.5 / day, 0.1 / day},
                                             {Measure::night_break, 900, 300}};
  return *std::find_if(all.begin(), all.end(),
                       [&](const UsualStep& one) { return one.measure == measure; });
}

/// 1, 2 or 5 times a power of ten: what a dial in other units is marked in.
double round_step(double step) {
  const double power = std::pow(10, std::floor(std::log10(step) + units::rounding_slack));
  const double first = step / power;
  return power * (first < 1.5 ? 1 : first < 3.5 ? 2 : first < 7.5 ? 5 : 10);
}

/// The marks of a timer from one length to another, seconds.
void add_marks(double from, double to, double step, std::vector<double>& marks) {
  for (double mark = from; mark <= to; mark += step) marks.push_back(mark);
}

/// Of what lies between: pulses by the second up to 10 s and then by ten, intervals by the minute
/// up to 10 min, then by five, after an hour by fifteen and after two by thirty.
const book::Dial& usual_pulse() {
  static const book::Dial dial = [] {
    book::Dial out;
    add_marks(1, 10, 1, out.values);
    add_marks(20, 10 * minute, 10, out.values);
    out.unit = *units::find_unit("s");
    return out;
  }();
  return dial;
}
const book::Dial& usual_interval() {
  static const book::Dial dial = [] {
    book::Dial out;
    add_marks(minute, 10 * minute, minute, out.values);
    add_marks(15 * minute, hour, 5 * minute, out.values);
    add_marks(75 * minute, 2 * hour, 15 * minute, out.values);
    add_marks(2.5 * hour, 24 * hour, 30 * minute, out.values);
    out.unit = *units::find_unit("s");
    return out;
  }();
  return dial;
}

/// The nearest of several values, of two equally near the one that comes first.
template <class Values, class Distance>
double nearest(const Values& values, const Distance& distance) {
  double best = *std::begin(values);
  double least = distance(best);
  for (const double value : values) {
    const double away = distance(value);
    if (!(away < least)) continue;
    best = value;
    least = away;
  }
  return best;
}

template <class Distance>
double nearest_mark(const book::Dial& dial, double value, const Distance& distance) {
  const double shown = dial.unit.from_base(value);
  const auto away = [&](double mark) { return distance(mark, shown); };
  if (dial.step <= 0) return dial.unit.to_base(nearest(dial.values, away));
  const double below = units::round_down(shown / dial.step) * dial.step;
  const double mark = nearest(std::array{below, below + dial.step}, away);
  return dial.unit.to_base(mark == 0 && shown > 0 ? dial.step : mark);
}

}  // namespace

double nearest_mark(const book::Dial& dial, double value) {
  return nearest_mark(dial, value,
                      [](double mark, double shown) { return std::abs(mark - shown); });
}

double nearest_mark_by_ratio(const book::Dial& dial, double value) {
  return nearest_mark(
      dial, value, [](double mark, double shown) { return std::max(mark / shown, shown / mark); });
}

book::Dial RoomDials::dial(Measure measure, const units::Unit& unit, Stands stands) const {
  if (const book::Dial* said = site_.dial_in(room_, measure)) return *said;
  const UsualStep& usual = usual_step(measure);
  book::Dial out;
  out.unit = unit;
  out.step = round_step((stands == Stands::written ? usual.written : usual.between) / unit.factor);
  return out;
}

double RoomDials::set(Measure measure, const units::Unit& unit, double value, Stands stands) const {
  return std::isfinite(value) ? nearest_mark(dial(measure, unit, stands), value) : value;
}

double RoomDials::largest_step(Measure measure, const units::Unit& unit) const {
  const book::Dial marks = dial(measure, unit, Stands::between);
  return std::max(marks.step * marks.unit.factor, language::facts_of(measure).tolerance / 2);
}

climate::MistProgramme RoomDials::set(const climate::MistProgramme& asked, Stands pulse,
                                      Stands interval) const {
  if (!(asked.pulse > 0 && asked.interval > 0)) return asked;
  const book::Dial* pulses = site_.pulse_dial_in(room_);
  if (pulses == nullptr && pulse == Stands::between) pulses = &usual_pulse();
  const book::Dial* intervals = site_.interval_dial_in(room_);
  if (intervals == nullptr && interval == Stands::between) intervals = &usual_interval();
  climate::MistProgramme out = asked;
  if (pulses != nullptr) out.pulse = nearest_mark_by_ratio(*pulses, asked.pulse);
  const double wanted = asked.interval * out.pulse / asked.pulse;
  out.interval = intervals == nullptr ? wanted : nearest_mark_by_ratio(*intervals, wanted);
  return out;
}

}  // namespace budwood::plan
