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

/// What is not there when it is wanted, and has to be bought.
struct Missing {
  std::uint32_t batch = 0;  ///< in Plan::batches
  calendar::Day day = 0;
  double total = 0;  ///< base units, with all that is missing before
};

/// What stock on hand does not cover of the takings of a supply, by day. `held` is what
/// `held_after` says of them. What expires first goes out first; what nobody uses in time goes to
/// `expires`.
std::vector<Missing> missing_of(const Plan& plan, const SupplyNeed& need,
                                const std::vector<double>& held, std::vector<OnHand>& expires);

/// What has to be bought of a supply, if anything.
std::optional<Purchase> purchase_of(const Plan& plan, const SupplyNeed& need,
                                    const std::vector<Missing>& missing,
                                    std::optional<calendar::Day> today);

}  // namespace budwood::plan
