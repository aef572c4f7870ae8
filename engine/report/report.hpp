/// Reports: a plan as text for people (table) and for programs (CSV, JSON), a protocol as a graph.
///
/// The same plan gives the same bytes. No report throws for what a user has written, and no control
/// character of theirs reaches the output.
#pragma once

#include <iosfwd>

#include "plan/plan.hpp"
#include "report/filter.hpp"
#include "report/graph.hpp"
#include "report/table.hpp"

namespace budwood::report {

enum class Format { table, csv, json };

/// Writes the work orders that pass the filter and says how many they are.
///
/// Table: an overview of the stages of each batch, then the orders by day. CSV: one row an order,
/// and a column for each supply with its unit in the head. JSON: the whole plan as one object; the
/// filter's batch narrows its batches, notes and conflicts, the rest of it narrows the orders.
std::size_t write_orders(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                         Format format, const Style& style = {});

/// What of the needs is shown.
struct NeedsView {
  plan::Grouping by = plan::Grouping::all;
  bool costs = false;    ///< what batches cost
  bool explain = false;  ///< the orders behind each supply
};

/// Writes what a plan needs, as worked out by `plan::total_needs`.
///
/// Table and JSON hold all that `view` asks for. CSV is one table: the orders when `explain`, else
/// the stages of the batches when `costs`, else the needs.
void write_needs(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                 const NeedsView& view, Format format, const Style& style = {});

/// "No work orders between 2027-01-01 and 2027-01-31 in room `tunnel`."
std::string nothing_found(const Filter& filter);

}  // namespace budwood::report
