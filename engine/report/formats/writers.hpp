#pragma once

#include <iosfwd>
#include <vector>

#include "report/formats/filter.hpp"
#include "report/formats/table.hpp"
#include "report/report.hpp"

/// One writer for each thing to report and each format; `report.hpp` chooses between them.
namespace budwood::report {

void write_orders_table(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                        const Selection& selected, const Style& style);
void write_orders_csv(std::ostream& out, const plan::Plan& plan, const Selection& selected);
void write_orders_json(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                       const Selection& selected);

class JsonWriter;
/// "repairs": [{"text", "change"}]; a change as `--set` takes it, null where it is none.
void write_repairs_json(JsonWriter& json, const std::vector<plan::Repair>& repairs);

/// Each gives the number of days that it tells of.
std::size_t write_settings_table(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                                 const Style& style);
std::size_t write_settings_csv(std::ostream& out, const plan::Plan& plan, const Filter& filter);
std::size_t write_settings_json(std::ostream& out, const plan::Plan& plan, const Filter& filter);

void write_needs_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                       const NeedsView& view, const Style& style);
void write_needs_csv(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                     const NeedsView& view);
void write_needs_json(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                      const NeedsView& view);

}  // namespace budwood::report
