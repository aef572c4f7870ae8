#include "plan/settings/stage_settings.hpp"

#include <algorithm>
#include <cmath>

#include "plan/settings/presence.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

using language::Half;
using Course = sheet::StageClimate::Course;

namespace {

constexpr const char* mist_name = "mist";

/// What one programme gives of the water of another, a day: by how many seconds it is open.
double seconds_of(const climate::MistProgramme& programme) {
  const auto day = climate::mist_day(programme);
  return day ? day->time : 0;
}

/// The largest share of the water a day that goes from one to the next.
double largest_fall(const std::vector<climate::MistProgramme>& values) {
  double largest = 0;
  for (std::size_t i = 1; i < values.size(); ++i) {
    const double before = seconds_of(values[i - 1]);
    if (before > 0) largest = std::max(largest, 1 - seconds_of(values[i]) / before);
  }
  return largest;
}

/// Between the two, whichever is the larger.
double within(double value, double a, double b) {
  return std::clamp(value, std::min(a, b), std::max(a, b));
}

const book::Timers* timers_of(const book::Site& site, const std::string& room) {
  const book::Room* const found = site.find_room(room);
  return found == nullptr ? nullptr : &found->by_timer;
}

}  // namespace

StageSettings::StageSettings(const book::Site& site, const sheet::Row& row, StageId stage)
    : site_(site),
      protocol_(row.protocol()),
      stage_(row.stage(stage)),
      climate_(row.climate(stage)),
      dated_(row.dated()),
      timers_(timers_of(site, row.stage(stage).room)),
      dials_(site, row.stage(stage).room) {
  if (dated_) start_ = row.start(stage);
  held_air_ = row.value(row.cells(stage).held_air, sheet::no_value);
}

std::optional<DaySetting> StageSettings::held() const {
  if (std::isnan(held_air_)) return std::nullopt;
  const language::MeasureFacts& air = language::facts_of(language::Measure::air);
  DaySetting out;
  out.name = air.name;
  out.unit = units::in_system(*units::find_unit(air.unit), site_.units);
  out.low = out.high = dials_.set(air.measure, out.unit, held_air_, Stands::written);
  return out;
}

std::vector<DaySetting> StageSettings::while_held() const {
  std::vector<DaySetting> out = set(days() - 1);
  if (auto air = held()) {
    std::erase_if(out, [&](const DaySetting& one) { return one.name == air->name; });
    out.insert(out.begin(), std::move(*air));
  }
  return out;
}

Stands StageSettings::stands_of(language::FormulaId formula) const {
  using Node = language::Node;
  if (formula == language::no_formula) return Stands::written;
  const Node& node = protocol_.node(formula);
  const bool worked_out =
      node.kind == Node::Kind::apply || node.kind == Node::Kind::look_up ||
      (node.kind == Node::Kind::constant && node.written == Node::Written::formula);
  return worked_out ? Stands::between : Stands::written;
}

bool StageSettings::is_there(int offset) const {
  return !dated_ || somebody_there(site_, start_ + offset);
}

/// What the first day asks for is set before the stage begins.
int StageSettings::set_day(int offset, const std::string& name) const {
  if (timers_ != nullptr && timers_->has(name)) return offset;
  while (offset > 0 && !is_there(offset)) --offset;
  return offset;
}

int StageSettings::chances(int after, int to, const std::string& name) const {
  if (timers_ != nullptr && timers_->has(name)) return to - after;
  if (to <= after) return 0;
  // Each day of a taper asks this anew.
  while (there_.size() <= static_cast<std::size_t>(to)) {
    const int before = there_.empty() ? 0 : there_.back();
    there_.push_back(before + (is_there(static_cast<int>(there_.size())) ? 1 : 0));
  }
  return there_[static_cast<std::size_t>(to)] - there_[static_cast<std::size_t>(after)];
}

int StageSettings::place_of(const Course& course, int changes, int offset,
                            const std::string& name) const {
  if (course.steps > 0) return static_cast<int>(std::round(course.share(offset) * changes));
  const int all = chances(course.begin, course.end, name);
  if (all == 0) return 0;
  const int passed = chances(course.begin, offset, name);
  return static_cast<int>(std::round(static_cast<double>(passed) * changes / all));
}

/// The value of a taper on a day.
double StageSettings::level_between(std::size_t statement, int offset) const {
  const language::Setting& setting = stage_.settings[statement];
  const Course course = climate_.setting_course(statement);
  const double first = climate_.setting_at(statement, 0);
  const double last = climate_.setting_at(statement, 1);
  const auto to_dial = [&](double value, Stands stands) {
    return dials_.set(setting.measure, setting.unit, value, stands);
  };
  const double step = dials_.largest_step(setting.measure, setting.unit);
  const double wanted = units::round_up(std::abs(last - first) / step);
  int changes = course.steps - 1;
  if (course.steps == 0) {
    changes = std::min(chances(course.begin, course.end, setting.name),
                       wanted < course.end ? static_cast<int>(wanted) : course.end);
  }
  if (course.end <= course.begin || changes <= 0 || !std::isfinite(wanted)) {
    return to_dial(first, stands_of(setting.first));
  }
  const int place = place_of(course, changes, offset, setting.name);
  const double begin = to_dial(first, stands_of(setting.first));
  const double end = to_dial(last, stands_of(setting.last));
  if (place <= 0) return begin;
  if (place >= changes) return end;
  // Halfway between two marks it is the one that comes first.
  const double share = static_cast<double>(place) / changes - units::rounding_slack;
  const double between = first + (last - first) * share;
  return within(to_dial(between, Stands::between), begin, end);
}

std::vector<climate::MistProgramme> StageSettings::mist_values(std::size_t statement,
                                                               int changes) const {
  const auto stands = [](bool goes) { return goes ? Stands::between : Stands::written; };
  const climate::MistProgramme from = climate_.mist_at(statement, 0);
  const climate::MistProgramme to = climate_.mist_at(statement, 1);
  const language::Mist& written = stage_.mists[statement];
  const auto end_of = [](language::FormulaId first, language::FormulaId last) {
    return last == language::no_formula ? first : last;
  };
  std::vector<climate::MistProgramme> out{
      dials_.set(from, stands_of(written.pulse), stands_of(written.every))};
  const climate::MistProgramme last =
      dials_.set(to, stands_of(end_of(written.pulse, written.pulse_last)),
                 stands_of(end_of(written.every, written.every_last)));
  for (int i = 1; i < changes; ++i) {
    climate::MistProgramme asked = from;
    const double share = static_cast<double>(i) / changes;
    asked.pulse *= std::pow(to.pulse / from.pulse, share);
    asked.interval *= std::pow(to.interval / from.interval, share);
    asked = dials_.set(asked, stands(from.pulse != to.pulse), stands(from.interval != to.interval));
    asked.pulse = within(asked.pulse, out.front().pulse, last.pulse);
    asked.interval = within(asked.interval, out.front().interval, last.interval);
    out.push_back(asked);
  }
  out.push_back(last);
  return out;
}

/// As few as may be without one that takes too much; where the timer has no such steps, those that
/// take least at once.
std::vector<climate::MistProgramme> StageSettings::mist_values(std::size_t statement,
                                                               const Course& course) const {
  if (course.steps > 0) return mist_values(statement, course.steps - 1);
  std::vector<climate::MistProgramme> best = mist_values(statement, 1);
  const int most = chances(course.begin, course.end, mist_name);
  for (int changes = 2; changes <= most; ++changes) {
    if (largest_fall(best) <= largest_mist_fall + units::rounding_slack) break;
    std::vector<climate::MistProgramme> tried = mist_values(statement, changes);
    if (largest_fall(tried) < largest_fall(best) - units::rounding_slack) best = std::move(tried);
  }
  return best;
}

const std::vector<climate::MistProgramme>& StageSettings::known_mist_values(
    std::size_t statement, const Course& course) const {
  mist_values_.resize(stage_.mists.size());
  std::vector<climate::MistProgramme>& known = mist_values_[statement];
  if (known.empty()) known = mist_values(statement, course);
  return known;
}

climate::MistProgramme StageSettings::set_mist(std::size_t statement, int offset) const {
  const Course course = climate_.mist_course(statement);
  const bool goes = course.tapers && course.end > course.begin &&
                    (course.steps > 1 || chances(course.begin, course.end, mist_name) > 0);
  if (!goes) {
    const language::Mist& written = stage_.mists[statement];
    return dials_.set(climate_.mist_at(statement, course.share(offset)), stands_of(written.pulse),
                      stands_of(written.every));
  }
  const auto& values = known_mist_values(statement, course);
  const int changes = static_cast<int>(values.size()) - 1;
  return values[static_cast<std::size_t>(
      std::clamp(place_of(course, changes, offset, mist_name), 0, changes))];
}

void StageSettings::put_to_dial(DaySetting& setting, std::size_t statement, int offset) const {
  const language::Setting& written = stage_.settings[statement];
  if (climate_.setting_course(statement).tapers) {
    setting.low = setting.high = level_between(statement, offset);
    return;
  }
  const bool range = written.high != language::no_formula;
  setting.low = dials_.set(written.measure, written.unit, setting.low, stands_of(written.first));
  setting.high = dials_.set(written.measure, written.unit, setting.high,
                            stands_of(range ? written.high : written.first));
}

std::vector<DaySetting> StageSettings::asked(int offset) const {
  return on(offset, As::asked);
}
std::vector<DaySetting> StageSettings::set(int offset) const {
  return on(offset, As::set);
}

std::vector<DaySetting> StageSettings::on(int offset, As as) const {
  std::vector<DaySetting> out;
  if (offset >= climate_.days()) return out;
  const auto day_of = [&](const std::string& name) {
    return as == As::set ? set_day(offset, name) : offset;
  };
  for (std::size_t i = 0; i < stage_.settings.size(); ++i) {
    const language::Setting& written = stage_.settings[i];
    const int at = day_of(written.name);
    const auto day = climate_.level(written.measure, Half::day, at);
    const auto night = climate_.level(written.measure, Half::night, at);
    const bool by_day = day && day->setting == i;
    const bool by_night = night && night->setting == i;
    if (!by_day && !by_night) continue;
    const sheet::StageClimate::Level& level = by_day ? *day : *night;
    DaySetting one;
    one.name = written.name;
    one.half = by_day && by_night ? Half::both : by_day ? Half::day : Half::night;
    one.bound = written.bound;
    one.low = level.low;
    one.high = level.high;
    one.hours = level.hours;
    one.light = level.light;
    one.unit = written.unit;
    // A start by light is counted by a meter, and not set by a dial.
    if (as == As::set && std::isnan(one.light)) put_to_dial(one, i, at);
    out.push_back(std::move(one));
  }
  const int at = day_of(mist_name);
  for (const sheet::StageClimate::Pulses& pulses : climate_.mist(at)) {
    DaySetting one;
    one.name = mist_name;
    one.kind = DaySetting::Kind::mist;
    one.mist = as == As::set ? set_mist(pulses.mist, at) : pulses.programme;
    out.push_back(std::move(one));
  }
  return out;
}

std::optional<SteepFall> steepest_fall(const StageSettings& settings) {
  constexpr double next_to_none = 8;  // pulses
  std::optional<SteepFall> out;
  std::vector<DaySetting> before = settings.set(0);
  for (int offset = 1; offset < settings.days(); ++offset) {
    std::vector<DaySetting> now = settings.set(offset);
    const auto was = mist_of(before);
    const auto is = mist_of(now);
    const bool falls = was && is && was->pulses > next_to_none &&
                       is->seconds < (1 - largest_mist_fall - units::rounding_slack) * was->seconds;
    if (falls && (!out || is->seconds / was->seconds < out->after / out->before)) {
      out = {offset, was->seconds, is->seconds, was->first, is->first};
    }
    before = std::move(now);
  }
  return out;
}

}  // namespace budwood::plan
