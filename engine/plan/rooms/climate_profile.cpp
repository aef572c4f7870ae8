#include "plan/rooms/climate_profile.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

#include "plan/orders/settings.hpp"

namespace budwood::plan {

using language::Half;
using language::Measure;

namespace {

/// Of a day under glass, mol/m2/s: water by light is compared with other water as on such a day,
/// for a climate does not know its weather. Common practice, no published source: 10 mol/m2 a day.
constexpr double middling_light = 10 / units::seconds_a_day;

/// What can be set has settings of its own; the hours of light are a photoperiod as well.
Band band_on(const language::Stage& stage, const sheet::StageClimate& climate,
             const ClimateColumn& column, int offset) {
  if (column.measure == Measure::mist_time || column.measure == Measure::photoperiod) {
    const double value = climate.value(column.measure, column.half, offset);
    return {value, value};
  }
  const auto level = climate.level(column.measure, column.half, offset);
  if (!level) return {};
  if (!std::isnan(level->light)) {
    const double on_a_middling_day = level->low / level->light * middling_light;
    return {on_a_middling_day, on_a_middling_day};
  }
  constexpr double infinity = std::numeric_limits<double>::infinity();
  switch (stage.settings[level->setting].bound) {
    case language::Bound::at_least:
      return {level->low, infinity};
    case language::Bound::at_most:
      return {-infinity, level->high};
    case language::Bound::exact:
    case language::Bound::range:
      break;
  }
  return {level->low, level->high};
}

/// While plants wait the last day's climate goes on, in air of its own where the stage says so.
ClimateProfile profile_of(const language::Stage& stage, const sheet::StageClimate& climate,
                          int waiting, double held_air) {
  ClimateProfile out;
  out.days = climate.days() + waiting;
  for (std::size_t i = 0; i < climate_columns().size(); ++i) {
    const Measure measure = climate_columns()[i].measure;
    if (stage.under_cover && (measure == Measure::humidity || measure == Measure::vpd)) continue;
    ClimateProfile::Column column{i, {}};
    bool is_set = false;
    const bool held = measure == Measure::air && !std::isnan(held_air);
    for (int offset = 0; offset < out.days; ++offset) {
      column.bands.push_back(offset < climate.days()
                                 ? band_on(stage, climate, climate_columns()[i], offset)
                             : held ? Band{held_air, held_air}
                                    : column.bands.back());
      is_set = is_set || !std::isnan(column.bands.back().low);
    }
    if (is_set) out.columns.push_back(std::move(column));
  }
  return out;
}

std::vector<sheet::CellId> climate_cells(const sheet::StageCells& stage) {
  std::vector<sheet::CellId> out{stage.days, stage.held_air};
  for (const sheet::SettingCells& at : stage.settings) {
    out.insert(out.end(), {at.first, at.last, at.high, at.hours, at.over, at.light});
  }
  for (const sheet::MistCells& at : stage.mists) {
    out.insert(out.end(), {at.pulse, at.pulse_last, at.every, at.every_last, at.over});
  }
  std::erase(out, sheet::no_cell);
  return out;
}

}  // namespace

const std::vector<ClimateColumn>& climate_columns() {
  static const std::vector<ClimateColumn> all = [] {
    std::vector<ClimateColumn> columns;
    for (const language::MeasureFacts& facts : language::measures()) {
      if (!facts.settable) continue;
      columns.push_back({facts.measure, Half::day});
      columns.push_back({facts.measure, Half::night});
    }
    columns.push_back({Measure::mist_time, Half::both});
    return columns;
  }();
  return all;
}

double gap(const Band& a, const Band& b) {
  if (std::isnan(a.low) || std::isnan(b.low)) return sheet::no_value;
  return std::max(a.low - b.high, b.low - a.high);
}

bool beyond(double gap, double tolerance, double value) {
  return gap > tolerance + sheet::slack(std::isfinite(value) ? value : 0, tolerance);
}

std::size_t ClimateProfiles::find(const sheet::Row& row, language::StageId stage) {
  const auto [place, fresh] = known_.try_emplace({&row.sheet(), stage});
  Known& known = place->second;
  if (fresh) known.cells = climate_cells(row.cells(stage));
  std::vector<std::uint64_t> values;
  values.reserve(known.cells.size() + 1);
  const int waiting = waiting_days(row, stage);
  values.push_back(static_cast<std::uint64_t>(waiting));
  // Bits, because a value that is none does not equal itself.
  for (const sheet::CellId cell : known.cells) {
    values.push_back(std::bit_cast<std::uint64_t>(row.value(cell)));
  }
  const auto [found, unknown] = known.by_values.try_emplace(std::move(values), profiles_.size());
  if (unknown) {
    profiles_.push_back(profile_of(row.stage(stage), row.climate(stage), waiting,
                                   row.value(row.cells(stage).held_air, sheet::no_value)));
  }
  return found->second;
}

}  // namespace budwood::plan
