/// The stages of batches as rows. Private to this module.
#pragma once

#include "office/workbooks/grid.hpp"
#include "report/formats/filter.hpp"

namespace budwood::office {

/// A sheet with the stages of the batches that the filter lets through, in the rooms that it does.
void add_stages(WorkbookFile& file, const plan::Plan& plan, const report::Filter& filter);

/// The title of a supply of any protocol of the plan, or its name when it has none.
std::string supply_title(const plan::Plan& plan, const std::string& supply);

}  // namespace budwood::office
