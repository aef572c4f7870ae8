/// A workbook is put together in a temporary folder and then written like every other result,
/// because libxlsxwriter 1.1.4 can write only to a name. It does not notice when a disk is
/// full, so there has to be room before it begins.
#pragma once

#include <string>

#include "plan/rooms/load.hpp"
#include "report/formats/filter.hpp"
#include "report/report.hpp"
#include "report/sheet/sheet_cells.hpp"
#include "results/summary.hpp"

namespace budwood::office {

/// A workbook as a file, or why there is none, in words: it is larger than a spreadsheet can be, or
/// the system has no room for it.
struct Workbook {
  std::string bytes;
  std::string problem;    ///< "" when all is well
  std::size_t found = 0;  ///< rows of what was asked for
};

/// Work orders, changes of settings and the stages of the batches, each on a sheet of its own.
/// Numbers that follow from others by plain arithmetic are formulas. The filter's batch narrows the
/// stages, all of it the orders.
Workbook orders_workbook(const plan::Plan& plan, const report::Filter& filter);

/// A sheet to fill in and to give back: the work orders that pass the filter, with empty columns
/// for what was done (`record/returns.hpp`).
Workbook returns_workbook(const plan::Plan& plan, const report::Filter& filter);

/// What is set on each day of each stage, and what the plants feel of it.
Workbook settings_workbook(const plan::Plan& plan, const report::Filter& filter);

/// Supplies with what to buy, and people's hours; what else `view` asks for on further sheets.
/// Stock on hand, packs and prices can be changed: what is to buy and what it costs follow.
Workbook needs_workbook(const plan::Plan& plan, const plan::Needs& needs,
                        const report::NeedsView& view);

/// What the load says of rooms and of crews, a row a day; before them what it leaves out.
Workbook load_workbook(const plan::Plan& plan, const plan::Load& load,
                       const report::Filter& filter);

/// The cells of the batches: a sheet for each protocol, batches across. A value carries the sign of
/// where it comes from in its number format, so that it stays a number.
Workbook sheet_workbook(const plan::Plan& plan, const report::SheetView& view);

/// Results, a row a group and stage. `plan` is that of the first book.
Workbook results_workbook(const plan::Plan& plan, const results::Summary& summary);

}  // namespace budwood::office
