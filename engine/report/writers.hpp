#pragma once

#include <iosfwd>
#include <vector>

#include "report/report.hpp"

/// One writer for each thing to report and each format; `report.hpp` chooses between them.
/// `selected` are places in Plan::orders, ascending.
namespace budwood::report {

void write_orders_table(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                        const std::vector<std::size_t>& selected, const Style& style);
void write_orders_csv(std::ostream& out, const plan::Plan& plan,
                      const std::vector<std::size_t>& selected);
void write_orders_json(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                       const std::vector<std::size_t>& selected);

void write_needs_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                       const NeedsView& view, const Style& style);
void write_needs_csv(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                     const NeedsView& view);
void write_needs_json(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                      const NeedsView& view);

}  // namespace budwood::report
