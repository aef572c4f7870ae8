#include "report/settings/settings_days.hpp"

#include <algorithm>
#include <array>
#include <limits>

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
  out.push_back({"mist_pulses", "Mist", {}, Of::mist_pulses, Measure::air, Half::both});
  out.push_back(
      {"mist_time", "Mist", *units::find_unit("s"), Of::mist_time, Measure::air, Half::both});
  out.push_back(
      {"mist_volume", "Mist", *units::find_unit("L"), Of::mist_volume, Measure::air, Half::both});
  for (SettingsColumn& column : out) column.unit = units::in_system(column.unit, system);
  return out;
}

std::vector<double> values_on(const plan::Plan& plan, const plan::BatchPlan& batch,
                              language::StageId stage, const sheet::StageClimate& climate,
                              int offset, units::System system) {
  const auto mist = plan::mist_total(plan, batch, stage, offset);
  std::vector<double> out;
  for (const SettingsColumn& column : settings_columns(system)) {
    double value = std::numeric_limits<double>::quiet_NaN();
    switch (column.of) {
      case Of::climate:
        value = column.unit.from_base(climate.value(column.measure, column.half, offset));
        break;
      case Of::mist_pulses:
        if (mist) value = static_cast<double>(mist->pulses);
        break;
      case Of::mist_time:
        if (mist) value = column.unit.from_base(mist->seconds);
        break;
      case Of::mist_volume:
        if (mist && mist->volume) value = column.unit.from_base(*mist->volume);
        break;
    }
    out.push_back(value);
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
      SettingsStage stage{b, s, {}};
      const int days = climate.days() + plan::waiting_days(row, s);
      for (int stood = 0; stood < days; ++stood) {
        const calendar::Day date = row.start(s) + stood;
        const int offset = std::min(stood, climate.days() - 1);
        if ((filter.from && date < *filter.from) || (filter.to && date > *filter.to)) continue;
        stage.days.push_back(
            {date, offset + 1, stood - offset, values_on(plan, batch, s, climate, offset, system)});
      }
      if (!stage.days.empty() && !visit(stage)) return;
    }
  }
}

}  // namespace budwood::report
