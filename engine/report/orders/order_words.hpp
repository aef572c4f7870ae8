#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "plan/orders/order.hpp"
#include "plan/plan.hpp"

/// How reports word work orders, for all formats that spell them out.
namespace budwood::report {

/// What an order that sets the climate is called where orders have titles.
inline constexpr const char* setting_order_title = "Set the climate";

/// "Scion clip: 40 clips (comes back) (lot: blue box)".
std::string supply_text(const plan::SupplyAmount& use);

/// The same of all that an order uses.
std::string supplies_text(const std::vector<plan::SupplyAmount>& uses);

/// "4 work orders", "1 work order and 2 makings".
std::string works_text(std::size_t works, std::size_t makings);

/// "potting_mix/make/2027-03-04, crew potting, 2 people together".
std::string made_where(const plan::MakingDetail& making);

/// Where the supplies came from: "scion_stick: own orchard, row 4".
std::string lots_text(const plan::OrderDetail& order);

/// A supply of the plan and the unit in which its protocol shows it.
using SupplyColumn = std::pair<std::string, std::string>;
/// All of them, by name.
std::vector<SupplyColumn> supply_columns(const plan::Plan& plan);

/// The amount of a supply on an order, in the unit of the column; nothing when it uses none. It may
/// be used more than once.
std::optional<double> supply_amount(const std::vector<plan::SupplyAmount>& supplies,
                                    const SupplyColumn& column);

/// "`finishing`: picked 672 on Fri 2030-08-23, 336 on Thu 2030-09-12; 112 in no picking, thrown
/// out. Grades: first 806; second 202, sold.": a line for each stage that picks or sorts.
std::vector<std::string> portion_lines(const plan::Plan& plan, const plan::BatchPlan& batch);

}  // namespace budwood::report
