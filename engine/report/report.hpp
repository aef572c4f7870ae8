/// Reports: a plan as text for people (table) and for programs (CSV, JSON), a protocol as a graph.
///
/// The same plan gives the same bytes. No report throws for what a user has written, and no control
/// character of theirs reaches the output. What is told is chosen and worded by headers of their
/// own, for writers of other formats too.
#pragma once

#include <iosfwd>

#include "plan/level/level.hpp"
#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "report/differences/comparison.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "report/sheet/sheet_cells.hpp"

namespace budwood::report {

/// Writes the work orders and setting orders that pass the filter and says how many they are.
///
/// Table: an overview of the stages of each batch, then the orders by day. CSV: one row an order,
/// and a column for each supply with its unit in the head; the id of a setting order has `set` in
/// its third place, where work has a number. JSON: the whole plan as one object; the filter's
/// batch narrows its batches, notes and conflicts, the rest of it narrows the orders.
std::size_t write_orders(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                         Format format, const Style& style = {});

/// Writes what is set on each day of each stage, and what the plants feel of it, and says of how
/// many days. Stages in which nothing is set are left out; the filter's crew means nothing here.
///
/// Table: one for each stage, without columns that are empty in all of it; of a range it shows both
/// ends. CSV: one row a day, all columns, with the unit in the head; of a range the middle. JSON:
/// the same rows as a list of objects, with null where there is no value.
std::size_t write_settings(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                           Format format, const Style& style = {});

/// What of the needs is shown.
struct NeedsView {
  plan::Grouping by = plan::Grouping::all;
  bool costs = false;       ///< what batches cost
  bool explain = false;     ///< the orders behind each supply
  bool lots = false;        ///< what each lot is taken for, alone
  bool finished = false;    ///< plants that are ready already and who takes them, alone
  bool mothers = false;     ///< what mother plants give and batches take by week, alone
  bool deliveries = false;  ///< what to buy of whom, supplier by supplier, alone

  /// Only what is asked for is shown, without the totals.
  bool stands_alone() const { return lots || mothers || finished || deliveries; }
};

/// Writes what a plan needs, as worked out by `plan::total_needs`.
///
/// Table and JSON hold all that `view` asks for. CSV is one table: the lots, the mother plants
/// or the deliveries when `lots`, `mothers` or `deliveries`, the orders when `explain`, else the
/// stages of the batches when `costs`, else the needs.
void write_needs(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                 const NeedsView& view, Format format, const Style& style = {});

/// Writes what changes mean for a plan: per batch its dates, numbers and work, then conflicts and
/// notes that are new or gone. The filter narrows batches and work.
///
/// Table: work that is done several times stands in one row. CSV and JSON: one row or object for
/// each value of each order that differs.
void write_plan_differences(std::ostream& out, const Comparison& both, const Filter& filter,
                            Format format, const Style& style = {});

/// Writes what changes mean for the needs of two plans, as worked out by `plan::total_needs`:
/// supplies, purchases, people's time, days on which a crew is short of it, and `costs` when asked
/// for.
void write_needs_differences(std::ostream& out, const Comparison& both, const plan::Needs& before,
                             const plan::Needs& after, bool costs, Format format,
                             const Style& style = {});

/// Writes the cells of the batches.
///
/// Table: one for each protocol, batches across, as many as the page has room for; values carry the
/// sign of where they come from. CSV: one row a batch and cell; an empty value where there is none.
/// JSON: the same as objects, null where there is no value. Numbers are in the unit beside them.
void write_sheet(std::ostream& out, const plan::Plan& plan, const SheetView& view, Format format,
                 const Style& style = {});

/// Writes what changes mean for the cells.
void write_sheet_differences(std::ostream& out, const Comparison& both, const SheetView& view,
                             Format format, const Style& style = {});

/// Writes what levelling a plan came to: what moves and why, what finds no place and what would
/// help, and how good the result is. `fits`: planned anew, rooms and crews do; what cannot move may
/// ask for too much although every other batch finds its place. CSV: one row a batch that moves,
/// then one a batch that finds no place.
void write_levelling(std::ostream& out, const plan::Levelling& found, bool fits, Format format,
                     const Style& style = {});

/// "No work orders between 2027-01-01 and 2027-01-31 in room `tunnel`."
std::string nothing_found(const Filter& filter, const std::string& things = "work orders");

}  // namespace budwood::report
