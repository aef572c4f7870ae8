#pragma once

#include <iosfwd>

#include "report/formats/table.hpp"
#include "report/load/load_view.hpp"

/// One writer of loads for each format; `load_report.hpp` chooses between them. Private to this
/// module.
namespace budwood::report {

void write_load_table(std::ostream& out, const plan::Plan& plan, const ShownLoad& shown,
                      const Style& style);
void write_load_csv(std::ostream& out, const plan::Plan& plan, const ShownLoad& shown);
void write_load_json(std::ostream& out, const plan::Plan& plan, const ShownLoad& shown);

}  // namespace budwood::report
