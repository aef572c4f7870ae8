/// Chilling of what a stage keeps is counted day by day, because levels and tapers change it; it
/// hangs on the day of the stage alone, never on its date, so the length is a number of days.
#pragma once

#include "sheet/columns/program.hpp"

namespace budwood::sheet {

/// What stands for chilling that is never reached.
inline constexpr int too_many_cold_days = 4 * 366;

/// What a gate asks for: temperatures in kelvin, and a time in seconds or a number of units.
struct ColdAim {
  double lower = 0, best = 0, upper = 0;
  double target = 0;
};

/// The days that a stage takes until the air (or root zone) that it keeps has brought its chilling;
/// `too_many_cold_days` when that takes as many or more. No value where something of it has none.
double days_of_cold(const ProgramContext& context, const Columns& columns, std::size_t row,
                    language::StageId stage, const ColdAim& aim);

}  // namespace budwood::sheet
