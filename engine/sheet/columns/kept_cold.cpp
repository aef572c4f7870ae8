#include "sheet/columns/kept_cold.hpp"

#include <cmath>

#include "sheet/columns/stage_climate.hpp"
#include "units/units.hpp"

namespace budwood::sheet {

namespace {

using language::Half;

/// The temperatures of the two halves of a day; one that is not said is that of the other.
struct Halves {
  double day = 0, night = 0;
  bool operator==(const Halves&) const = default;
};

Halves halves_of(const StageClimate& climate, language::Measure measure, int offset) {
  const auto of = [&](Half half) {
    const auto level = climate.level(measure, half, offset);
    return level ? level->middle() : no_value;
  };
  Halves out{of(Half::day), of(Half::night)};
  if (std::isnan(out.day)) out.day = out.night;
  if (std::isnan(out.night)) out.night = out.day;
  return out;
}

}  // namespace

double days_of_cold(const ProgramContext& context, const Columns& columns, std::size_t row,
                    language::StageId stage, const ColdAim& aim) {
  const language::Gate& gate = *context.protocol.stages[stage].gate;
  const auto method = climate::find_chill_method(gate.method);
  if (!method || !gate.kept || std::isnan(aim.target)) return no_value;
  const climate::ChillRule rule{*method, aim.lower, aim.upper, aim.best};
  // A time in the sheet, a count of hours in the sums.
  const bool hours = gate.upper != language::no_formula;
  const double wanted = hours ? aim.target / units::seconds_an_hour : aim.target;
  const double enough = wanted - units::slack(wanted, 0);
  const StageClimate climate(context.protocol, context.stages, columns, row, stage,
                             too_many_cold_days);
  Halves before{no_value, no_value};
  double brings = 0;
  double sum = 0;
  for (int offset = 0; offset < too_many_cold_days; ++offset) {
    if (sum >= enough) return offset;
    const Halves now = halves_of(climate, *gate.kept, offset);
    if (now != before) brings = climate::chilling_of_halves(now.day, now.night, rule);
    if (std::isnan(brings)) return no_value;
    before = now;
    sum += brings;
  }
  return too_many_cold_days;
}

}  // namespace budwood::sheet
