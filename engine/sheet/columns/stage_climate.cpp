#include "sheet/columns/stage_climate.hpp"

#include <algorithm>
#include <cmath>

#include "units/units.hpp"

namespace budwood::sheet {

using language::Half;
using language::Measure;
using language::Reading;
using language::StageDay;

namespace {

constexpr double seconds_a_minute = 60;

/// Of two values the one that is there, or their mean.
double mean_of(double a, double b) {
  if (std::isnan(a)) return b;
  if (std::isnan(b)) return a;
  return a + (b - a) / 2;
}

/// Whether two stretches of a day, in minutes, have any in common. A stretch may cross midnight.
bool share_hours(const language::Mist& a, const language::Mist& b) {
  const auto within = [](int minute, const language::Mist& mist) {
    return mist.from_minute < mist.to_minute
               ? minute >= mist.from_minute && minute < mist.to_minute
               : minute >= mist.from_minute || minute < mist.to_minute;
  };
  return within(a.from_minute, b) || within(b.from_minute, a);
}

}  // namespace

StageClimate::StageClimate(const language::Protocol& protocol, const StageCellsList& cells,
                           const Columns& columns, std::size_t row, StageId stage)
    : StageClimate(protocol, cells, columns, row, stage, 0) {
  const double days = cell(cells_.days);
  days_ = std::isnan(days) ? 0 : std::max(1, static_cast<int>(days));
}

StageClimate::StageClimate(const language::Protocol& protocol, const StageCellsList& cells,
                           const Columns& columns, std::size_t row, StageId stage, int days)
    : protocol_(protocol),
      all_cells_(cells),
      columns_(columns),
      row_(row),
      stage_(protocol.stages[stage]),
      cells_(cells[stage]),
      days_(days) {}

double StageClimate::Course::share(int offset) const {
  if (end <= begin) return 0;
  const int days = end - begin + 1;
  if (steps == 0 || steps >= days) return static_cast<double>(offset - begin) / (end - begin);
  const int step = (offset - begin) * steps / days;
  return static_cast<double>(step) / (steps - 1);
}

StageClimate::Course StageClimate::course(const StageDay& from, const StageDay& to, CellId over,
                                          int steps) const {
  const int last = std::max(0, days_ - 1);
  Course out;
  out.begin = from.last ? last : from.day - 1;
  out.end = to.last ? last : to.day - 1;
  out.steps = steps;
  const double seconds = cell(over);
  if (!std::isnan(seconds)) {
    out.end = out.begin + static_cast<int>(round_up(seconds / units::seconds_a_day)) - 1;
  }
  return out;
}

StageClimate::Course StageClimate::setting_course(std::size_t setting) const {
  const language::Setting& written = stage_.settings[setting];
  const SettingCells& at = cells_.settings[setting];
  Course out = course(written.from, written.to, at.over, written.steps);
  out.tapers = at.last != no_cell;
  return out;
}

StageClimate::Course StageClimate::mist_course(std::size_t mist) const {
  const language::Mist& written = stage_.mists[mist];
  const MistCells& at = cells_.mists[mist];
  Course out = course(written.from, written.to, at.over, written.steps);
  out.tapers = at.every_last != no_cell || at.pulse_last != no_cell;
  return out;
}

/// From `first` in equal steps to `last`; `first` throughout when there is no last.
double StageClimate::going(CellId first, CellId last, double share) const {
  const double from = cell(first);
  return last == no_cell ? from : from + share * (cell(last) - from);
}

double StageClimate::setting_at(std::size_t setting, double share) const {
  return going(cells_.settings[setting].first, cells_.settings[setting].last, share);
}

std::optional<StageClimate::Level> StageClimate::level(Measure measure, Half half,
                                                       int offset) const {
  for (std::size_t i = stage_.settings.size(); i-- > 0;) {
    const language::Setting& setting = stage_.settings[i];
    const bool covers =
        setting.measure == measure && (setting.half == Half::both || setting.half == half);
    if (!covers) continue;
    const SettingCells& at = cells_.settings[i];
    const Course days = setting_course(i);
    if (offset < days.begin || offset > days.end) continue;
    const double low = setting_at(i, days.share(offset));
    return Level{i, low, at.high == no_cell ? low : cell(at.high), cell(at.hours), cell(at.light)};
  }
  return std::nullopt;
}

std::vector<StageClimate::Pulses> StageClimate::mist(int offset) const {
  std::vector<Pulses> out;
  for (std::size_t i = 0; i < stage_.mists.size(); ++i) {
    const language::Mist& mist = stage_.mists[i];
    const Course days = mist_course(i);
    if (offset < days.begin || offset > days.end) continue;
    std::erase_if(
        out, [&](const Pulses& before) { return share_hours(stage_.mists[before.mist], mist); });
    out.push_back({i, mist_at(i, days.share(offset))});
  }
  return out;
}

/// The pulse and the number of pulses both go by equal shares, and so does the water.
climate::MistProgramme StageClimate::mist_at(std::size_t mist, double share) const {
  const language::Mist& written = stage_.mists[mist];
  const MistCells& at = cells_.mists[mist];
  const auto value = [&](CellId first, CellId last) {
    const double from = cell(first);
    if (last == no_cell || share <= 0) return from;
    const double to = cell(last);
    return share >= 1 ? to : from * std::pow(to / from, share);
  };
  climate::MistProgramme out{value(at.pulse, at.pulse_last), value(at.every, at.every_last),
                             written.from_minute * seconds_a_minute,
                             written.to_minute * seconds_a_minute, 0};
  const double window = climate::window_of(out);
  const bool between = at.every_last != no_cell && share > 0 && share < 1;
  if (between && out.interval < window) out.interval = window / std::round(window / out.interval);
  return out;
}

double StageClimate::middle(Measure measure, Half half, int offset) const {
  const auto found = level(measure, half, offset);
  // What comes of water by light the weather says.
  return found && std::isnan(found->light) ? found->middle() : no_value;
}

double StageClimate::photoperiod(Half half, int offset) const {
  const double stated = middle(Measure::photoperiod, half, offset);
  if (!std::isnan(stated)) return stated;
  const auto light = level(Measure::light, half, offset);
  return light ? light->hours : no_value;
}

double StageClimate::mist_total(Measure measure, int offset) const {
  const std::vector<Pulses> running = mist(offset);
  if (running.empty()) return no_value;
  double total = 0;
  for (const Pulses& one : running) {
    const auto day = climate::mist_day(one.programme);
    if (!day) return no_value;
    total += measure == Measure::mist_time ? day->time : static_cast<double>(day->pulses);
  }
  return total;
}

double StageClimate::in_half(Measure measure, Half half, int offset) const {
  const auto air = [&] { return middle(Measure::air, half, offset); };
  const auto humidity = [&] { return middle(Measure::humidity, half, offset); };
  switch (measure) {
    case Measure::vpd: {
      const double set = middle(measure, half, offset);
      return std::isnan(set) ? climate::vapour_pressure_deficit(air(), humidity()) : set;
    }
    case Measure::dew_point:
      return climate::dew_point(air(), humidity());
    case Measure::absolute_humidity:
      return climate::absolute_humidity(air(), humidity());
    case Measure::photoperiod:
      return photoperiod(half, offset);
    case Measure::light_sum: {
      const double set = middle(measure, half, offset);
      if (!std::isnan(set)) return set;
      const auto light = level(Measure::light, half, offset);
      if (!light) return no_value;
      const double hours = std::isnan(light->hours) ? photoperiod(half, offset) : light->hours;
      return climate::light_sum(light->middle(), hours) / units::seconds_a_day;
    }
    case Measure::mist_time:
    case Measure::mist_pulses:
      return mist_total(measure, offset);
    default:
      return middle(measure, half, offset);
  }
}

double StageClimate::value(Measure measure, Half half, int offset) const {
  if (half != Half::both) return in_half(measure, half, offset);
  return mean_of(in_half(measure, Half::day, offset), in_half(measure, Half::night, offset));
}

/// The lowest (or highest) that follows from ranges of air and humidity: all three grow with the
/// warmth; with the humidity the deficit falls and the others grow.
double StageClimate::corner(Measure measure, Half half, int offset, bool lowest) const {
  const bool deficit = measure == Measure::vpd;
  if (!deficit && measure != Measure::dew_point && measure != Measure::absolute_humidity) {
    return in_half(measure, half, offset);
  }
  const auto air = level(Measure::air, half, offset);
  const auto humidity = level(Measure::humidity, half, offset);
  if (!air || !humidity) return no_value;
  const double warmth = lowest ? air->low : air->high;
  const double moisture = lowest == deficit ? humidity->high : humidity->low;
  if (deficit) return climate::vapour_pressure_deficit(warmth, moisture);
  return measure == Measure::dew_point ? climate::dew_point(warmth, moisture)
                                       : climate::absolute_humidity(warmth, moisture);
}

double StageClimate::extreme(const Reading& reading, bool lowest) const {
  double out = no_value;
  const auto meet = [&](double value) {
    if (std::isnan(value)) return;
    const bool better = std::isnan(out) || (lowest ? value < out : value > out);
    if (better) out = value;
  };
  for (int offset = 0; offset < days_; ++offset) {
    for (const Half half : {Half::day, Half::night}) {
      if (reading.half != Half::both && reading.half != half) continue;
      const auto range = level(reading.measure, half, offset);
      meet(range ? (lowest ? range->low : range->high)
                 : corner(reading.measure, half, offset, lowest));
    }
  }
  return out;
}

/// Nothing changes in a stage of one day; days on which it is not set do not count.
double StageClimate::largest_change(const Reading& reading, bool fall) const {
  double largest = no_value;
  double before = no_value;
  for (int offset = 0; offset < days_; ++offset) {
    const double now = value(reading.measure, reading.half, offset);
    if (!std::isnan(now) && std::isnan(largest)) largest = 0;
    if (!std::isnan(now) && !std::isnan(before)) {
      largest = std::max(largest, fall ? before - now : now - before);
    }
    before = now;
  }
  return largest;
}

/// At a join, the larger of the two steps.
double StageClimate::step(const Reading& reading) const {
  const double first = value(reading.measure, reading.half, 0);
  double out = no_value;
  for (const StageId from : stage_.takes) {
    const StageClimate before(protocol_, all_cells_, columns_, row_, from);
    if (before.days() == 0) return no_value;
    const double change = first - before.value(reading.measure, reading.half, before.days() - 1);
    if (std::isnan(out) || std::abs(change) > std::abs(out)) out = change;
  }
  return out;
}

double StageClimate::answer(const Reading& reading) const {
  using Moment = Reading::Moment;
  const auto on = [&](int offset) {
    const double found = value(reading.measure, reading.half, offset);
    return reading.is_set ? (std::isnan(found) ? 0.0 : 1.0) : found;
  };
  if (reading.moment == Moment::first) return on(0);
  if (days_ == 0) return no_value;
  switch (reading.moment) {
    case Moment::first:
      break;
    case Moment::last:
      return on(days_ - 1);
    case Moment::day: {
      const int offset = reading.day.last ? days_ - 1 : reading.day.day - 1;
      if (offset >= days_) return reading.is_set ? 0.0 : no_value;
      return on(offset);
    }
    case Moment::lowest:
    case Moment::highest:
      return extreme(reading, reading.moment == Moment::lowest);
    case Moment::largest_fall:
    case Moment::largest_rise:
      return largest_change(reading, reading.moment == Moment::largest_fall);
    case Moment::step:
      return step(reading);
  }
  return no_value;
}

namespace {

void add_cells(const language::Stage& stage, const StageCells& cells, const Reading& reading,
               std::vector<CellId>& out) {
  const std::vector<Measure> sources = language::sources_of(reading.measure);
  for (std::size_t i = 0; i < stage.settings.size(); ++i) {
    if (std::find(sources.begin(), sources.end(), stage.settings[i].measure) == sources.end()) {
      continue;
    }
    const SettingCells& at = cells.settings[i];
    out.insert(out.end(), {at.first, at.last, at.high, at.hours, at.over, at.light});
  }
  if (!language::comes_from_mist(reading.measure)) return;
  for (const MistCells& at : cells.mists) {
    out.insert(out.end(), {at.pulse, at.pulse_last, at.every, at.every_last, at.over});
  }
}

/// Day 1 is there whatever the length, unless something is said of the last day alone.
bool needs_length(const language::Stage& stage, const Reading& reading) {
  if (reading.moment != Reading::Moment::first && reading.moment != Reading::Moment::step) {
    return true;
  }
  const auto counts_back = [](const auto& statement) { return statement.from.last; };
  return std::any_of(stage.settings.begin(), stage.settings.end(), counts_back) ||
         std::any_of(stage.mists.begin(), stage.mists.end(), counts_back);
}

}  // namespace

std::vector<CellId> cells_behind(const language::Protocol& protocol, const StageCellsList& cells,
                                 const Reading& reading) {
  std::vector<CellId> out;
  const language::Stage& stage = protocol.stages[reading.stage];
  add_cells(stage, cells[reading.stage], reading, out);
  if (needs_length(stage, reading)) out.push_back(cells[reading.stage].days);
  if (reading.moment == Reading::Moment::step) {
    for (const StageId before : stage.takes) {
      add_cells(protocol.stages[before], cells[before], reading, out);
      out.push_back(cells[before].days);
    }
  }
  std::erase(out, no_cell);
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

}  // namespace budwood::sheet
