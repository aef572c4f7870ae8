#pragma once

#include "sheet/dates/dates.hpp"
#include "sheet/row.hpp"

namespace budwood::sheet {

class Sheet;

/// Why a date of a batch that was started is not earlier: from that date, step by step, back to a
/// date that the batch sets. Days of the steps are earliest ones. Empty for a batch that is to be
/// ready by a day, for other cells, and for a row that has no plan.
std::vector<DateReason> reasons_not_earlier(const Row& row, CellId date);

}  // namespace budwood::sheet
