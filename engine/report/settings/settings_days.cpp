#include "report/settings/settings_days.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "plan/settings/lamp_light.hpp"
#include "plan/settings/stage_settings.hpp"

namespace budwood::report {

using language::Half;
using language::Measure;

namespace {

using Of = SettingsColumn::Of;

std::vector<SettingsColumn> make_columns(units::System system) {
  std::vector<SettingsColumn> out;
  const auto add = [&](Measure measure, const std::string& head, const char* end = "",
                       Half half = Half::both) {
    const language::MeasureFacts& facts = language::facts_of(measure);
    out.push_back(
        {facts.name + end, head, *units::find_unit(facts.unit), Of::climate, measure, half});
  };
  const auto add_halves = [&](Measure measure, const std::string& head) {
    add(measure, head, "_day", Half::day);
    add(measure, head, "_night", Half::night);
  };
  add_halves(Measure::air, "Air");
  add_halves(Measure::leaf, "Leaf");
  add_halves(Measure::root_zone, "Root\nzone");
  add_halves(Measure::humidity, "Humidity");
  add_halves(Measure::vpd, "VPD");
  add_halves(Measure::dew_point, "Dew\npoint");
  add(Measure::light, "Light");
  add(Measure::light_sum, "Light\nsum");
  add(Measure::photoperiod, "Photo-\nperiod");
  add_halves(Measure::shade, "Shade");
  add_halves(Measure::co2, "CO2");
  add(Measure::irrigation, "Water");
  add(Measure::night_break, "Night\nbreak");
  const auto add_mist = [&](const std::string& name, const char* unit, Of of) {
    const units::Unit shown = *unit == '\0' ? units::Unit{} : *units::find_unit(unit);
    out.push_back({name, "Mist", shown, of, Measure::air, Half::both});
  };
  add_mist("mist_interval", "min", Of::mist_interval);
  add_mist("mist_pulses", "", Of::mist_pulses);
  add_mist("mist_time", "s", Of::mist_time);
  add_mist("mist_volume", "L", Of::mist_volume);
  const std::size_t asked = out.size();
  for (std::size_t i = 0; i < asked; ++i) {
    SettingsColumn column = out[i];
    if (column.of == Of::climate && !language::facts_of(column.measure).settable) continue;
    column.name.insert(0, "set_");
    column.head += "\nset";
    column.set = true;
    out.push_back(std::move(column));
  }
  const auto add_lamps = [&](const char* name, const char* head, const char* unit, Of of) {
    out.push_back({name, head, *units::find_unit(unit), of, Measure::light_sum, Half::both});
  };
  add_lamps("daylight", "Day-\nlight", "mol/m2", Of::daylight);
  add_lamps("lamps", "Lamps", "h", Of::lamps);
  add_lamps("lamp_energy", "Lamps", "kWh/m2", Of::lamp_energy);
  out.push_back({"waterings", "Water", {}, Of::waterings, Measure::irrigation, Half::both});
  for (SettingsColumn& column : out) column.unit = units::in_system(column.unit, system);
  return out;
}

/// The value of a measure among settings, base units; of both halves of the day their mean.
double value_among(const std::vector<plan::DaySetting>& settings, Measure measure, Half half) {
  double sum = 0;
  int found = 0;
  for (const Half one : {Half::day, Half::night}) {
    if (half != Half::both && half != one) continue;
    for (const plan::DaySetting& setting : settings) {
      // What comes of water by light is worked out for each day.
      const bool covers =
          (setting.half == Half::both || setting.half == one) && std::isnan(setting.light);
      if (setting.name != language::facts_of(measure).name || !covers) continue;
      sum += setting.low + (setting.high - setting.low) / 2;
      ++found;
      break;
    }
  }
  return found == 0 ? std::numeric_limits<double>::quiet_NaN() : sum / found;
}

/// What is asked for on one day and what is set then.
struct Sides {
  std::vector<plan::DaySetting> asked, set;
  calendar::Day date = 0;
};

double mist_value(const plan::Plan& plan, const std::string& room, const SettingsColumn& column,
                  const std::vector<plan::DaySetting>& settings) {
  constexpr double none = std::numeric_limits<double>::quiet_NaN();
  const auto mist = plan::mist_total(plan.book->site, room, settings);
  if (!mist) return none;
  switch (column.of) {
    case Of::mist_pulses:
      return static_cast<double>(mist->pulses);
    case Of::mist_interval:
      return column.unit.from_base(plan::mist_of(settings)->first.interval);
    case Of::mist_time:
      return column.unit.from_base(mist->seconds);
    case Of::mist_volume:
      return mist->volume ? column.unit.from_base(*mist->volume) : none;
    default:
      break;
  }
  return none;
}

double lamp_value(const std::optional<plan::LampDay>& lamps, const SettingsColumn& column) {
  if (!lamps) return std::numeric_limits<double>::quiet_NaN();
  const double value = column.of == Of::daylight ? lamps->daylight
                       : column.of == Of::lamps  ? lamps->seconds
                                                 : lamps->energy;
  return column.unit.from_base(value);
}

std::vector<double> values_on(const plan::Plan& plan, const std::string& room, const Sides& sides,
                              const sheet::StageClimate& climate, int offset,
                              units::System system) {
  std::vector<double> out;
  const auto lamps = plan::lamp_day(plan.book->site, room, sides.set, sides.date);
  const auto water = plan::water_day(plan.book->site, room, sides.set, sides.date);
  for (const SettingsColumn& column : settings_columns(system)) {
    const auto& settings = column.set ? sides.set : sides.asked;
    if (column.of == Of::waterings) {
      out.push_back(water ? water->times : sheet::no_value);
    } else if (column.set && column.measure == Measure::irrigation && water) {
      out.push_back(column.unit.from_base(water->amount / units::seconds_a_day));
    } else if (column.of >= Of::daylight) {
      out.push_back(lamp_value(lamps, column));
    } else if (column.of != Of::climate) {
      out.push_back(mist_value(plan, room, column, settings));
    } else {
      out.push_back(
          column.unit.from_base(column.set ? value_among(settings, column.measure, column.half)
                                           : climate.value(column.measure, column.half, offset)));
    }
  }
  return out;
}

bool is_wanted(const language::Stage& stage, const Filter& filter) {
  if (stage.settings.empty() && stage.mists.empty()) return false;
  return !filter.room || stage.room == *filter.room;
}

}  // namespace

const std::vector<SettingsColumn>& settings_columns(units::System system) {
  static const std::array all{make_columns(units::System::as_written),
                              make_columns(units::System::metric),
                              make_columns(units::System::us_customary)};
  return all[static_cast<std::size_t>(system)];
}

void for_each_stage(const plan::Plan& plan, const Filter& filter, units::System system,
                    const std::function<bool(const SettingsStage&)>& visit) {
  for (std::size_t b = 0; b < plan.batches.size(); ++b) {
    const plan::BatchPlan& batch = plan.batches[b];
    if (!batch.dated || !passes(plan, batch, filter)) continue;
    const sheet::Row row = plan.row_of(batch);
    for (const language::StageId s : row.protocol().stages.ids()) {
      if (!is_wanted(row.stage(s), filter)) continue;
      const sheet::StageClimate climate = row.climate(s);
      const plan::StageSettings asked(plan.book->site, row, s);
      SettingsStage stage{b, s, {}};
      const int days = climate.days() + plan::waiting_days(row, s);
      for (int stood = 0; stood < days; ++stood) {
        const calendar::Day date = row.start(s) + stood;
        const int offset = std::min(stood, climate.days() - 1);
        if ((filter.from && date < *filter.from) || (filter.to && date > *filter.to)) continue;
        const Sides sides{asked.asked(offset),
                          plan.settings.given({static_cast<std::uint32_t>(b), s}, date), date};
        stage.days.push_back({date, offset + 1, stood - offset,
                              values_on(plan, row.stage(s).room, sides, climate, offset, system)});
      }
      if (!stage.days.empty() && !visit(stage)) return;
    }
  }
}

}  // namespace budwood::report
