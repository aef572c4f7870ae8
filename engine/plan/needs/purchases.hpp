/// Private to this module.
///
/// There is no clock: whether an order is late depends on `today`, and without it nothing is,
/// so that the same book gives the same bytes tomorrow.
#pragma once

#include <optional>
#include <vector>

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

/// What has to be bought of a supply, if anything. `held` is what `held_after` says of its takings.
std::optional<Purchase> purchase_of(const Plan& plan, const SupplyNeed& need,
                                    const std::vector<double>& held,
                                    std::optional<calendar::Day> today);

/// What neither lots nor mother plants give.
struct Missing {
  std::uint32_t batch = 0;  ///< in Plan::batches
  calendar::Day day = 0;
  double amount = 0;  ///< base units
};
/// The same where it is known what is missing, by day.
std::optional<Purchase> purchase_of(const Plan& plan, const SupplyNeed& need,
                                    const std::vector<Missing>& missing,
                                    std::optional<calendar::Day> today);

}  // namespace budwood::plan
