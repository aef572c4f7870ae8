#pragma once

#include <iosfwd>

#include "plan/rooms/load.hpp"
#include "report/differences/comparison.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"

namespace budwood::report {

/// Writes what a plan takes of rooms and crews, and where that is more than they hold; says whether
/// all that is shown fits. The load is always that of all batches; the filter chooses rooms, crews,
/// days, or what one batch uses.
///
/// Table: all rooms and crews, each by week, then the overloads in sentences. CSV: one row a
/// room or crew and day. JSON: stays, days and overloads, each overload with the batches or orders
/// that make it.
bool write_load(std::ostream& out, const plan::Plan& plan, const plan::Load& load,
                const Filter& filter, Format format, const Style& style = {});

/// Writes what changes mean for rooms and crews: the most that is taken, the days on which that is
/// too much, the hours that are missing. Says whether all that is shown fits after them.
bool write_load_differences(std::ostream& out, const Comparison& both, const plan::Load& before,
                            const plan::Load& after, const Filter& filter, Format format,
                            const Style& style = {});

}  // namespace budwood::report
