/// Private to this module.
#pragma once

#include "plan/plan.hpp"

namespace budwood::plan {

/// The whole batch so many days later, or earlier when `by` is negative, as something that would
/// help; `because` stands behind the days: ", so that ...".
Repair move_batch(const Plan& plan, std::size_t batch, calendar::Day by,
                  const std::string& because = "");

}  // namespace budwood::plan
