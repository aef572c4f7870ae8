#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sheet/row.hpp"

namespace budwood::sheet {

/// Whether a value is within the limits of an expectation; another cell that it must reach is not
/// looked at.
bool meets(const Expectation& expectation, double value);
/// Expectations that a row does not meet, by their number in the template.
std::vector<std::size_t> unmet_expectations(const Row& row);

/// A value as people write it: with its unit, a date, "yes" or "no"; "-" for no value. Without a
/// unit it is shown in the usual one of the system.
std::string shown(double value, const language::Type& type,
                  const std::optional<units::Unit>& unit = std::nullopt, int digits = 6,
                  units::System system = units::System::as_written);
/// In which unit a value is shown when nothing else says how: `usual_unit`, but for temperatures,
/// in a system. `largest` is the largest value to show.
units::Unit unit_to_show(const language::Type& type, double largest, units::System system);
/// The same of a cell.
std::string shown(const Row& row, CellId cell);
/// What an expectation looks at: "120 degC"; "9 days against 5 days".
std::string shown(const Row& row, const Expectation& expectation);

/// What a requirement says, with its values in a row.
std::string message_of(const Row& row, std::size_t requirement);

/// Why a planned date (the start or end of a stage, or the day on which the batch is ready) is not
/// later: from it, step by step, to a date that the batch sets. Empty for other cells, and for a
/// row that has no plan.
std::vector<DateReason> reasons_of(const Row& row, CellId date);

/// The first cell in evaluation order that has no value although all that it uses has one: where a
/// missing value comes from. Cells without a date because of a conflict are not looked at.
std::optional<CellId> origin_of_no_value(const Row& row);

}  // namespace budwood::sheet
