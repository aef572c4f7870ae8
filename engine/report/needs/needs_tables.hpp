#pragma once

#include <iosfwd>
#include <string>
#include <string_view>

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "report/formats/table.hpp"

/// The parts of the needs as tables for people; each starts with an empty line.
namespace budwood::report {

/// How far tables stand from the edge.
inline constexpr std::size_t table_indent = 2;

/// A remark below a table, in lines that fit the page.
void write_remark(std::ostream& out, std::string_view remark, const Style& style);

/// All supplies, what to buy, crews and the days on which they are short of time.
void write_totals_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                        const Style& style);

/// What is taken out, and work, by batch, day or week.
void write_groups_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                        plan::Grouping grouping, const Style& style);

/// What batches cost, and their stages too when `by_stage`.
void write_costs_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                       bool by_stage, const Style& style);

/// The lots of the site: what is taken of each for whom, and what is left. Nothing without lots.
void write_lots_table(std::ostream& out, const plan::Plan& plan, const Style& style);

/// What mother plants give and what batches take of them, week by week, and when they are to be
/// renewed. Nothing without mother plants.
void write_mothers_table(std::ostream& out, const plan::Plan& plan, const Style& style);

/// Plants that are ready already, and which batches take them. Nothing where there are none.
void write_finished_table(std::ostream& out, const plan::Plan& plan, const Style& style);

/// What to buy of whom, supplier by supplier.
void write_deliveries_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                            const Style& style);

/// The orders behind each supply.
void write_takings_table(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                         const Style& style);

}  // namespace budwood::report
