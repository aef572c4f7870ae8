/// How much of a supply is out, order by order. Private to this module.
#pragma once

#include <vector>

#include "plan/needs/needs.hpp"

namespace budwood::plan {

/// For each taking, how much has been taken up to it and has not come back. Whatever comes back on
/// a day is there before anything is taken on it. `takings` ascend by day.
std::vector<double> held_after(const std::vector<Taking>& takings, bool reused);

/// The most of `held`: its first place, or the size of `held` when there is none.
std::size_t first_peak(const std::vector<double>& held);

/// What of a taking is still out on a day, or spoilt by then.
double held_on(const Taking& taking, calendar::Day day);

}  // namespace budwood::plan
