/// Private to this module.
#pragma once

#include <string>
#include <vector>

#include "plan/orders/settings.hpp"

namespace budwood::plan {

/// What has to be set so that one climate becomes another: what is new or has another value, in the
/// halves of the day in which it has, then what ends. Mist is told whole when any of it changes.
std::vector<DaySetting> changes_between(const std::vector<DaySetting>& before,
                                        const std::vector<DaySetting>& now);

/// One climate for plants that stand together, the most delicate first: of each value what the
/// first asks for that asks for any, narrowed to what suits the next ones too as long as there is
/// something that suits all.
std::vector<DaySetting> brought_together(
    const std::vector<const std::vector<DaySetting>*>& by_delicacy);

/// Whether plants that ask for one climate are more delicate than those that ask for another: they
/// get more mist, else moister air, else less light. Common practice: what has no roots yet cannot
/// make up for dry air, while plants that have some bear damp for a while.
bool more_delicate(const std::vector<DaySetting>& one, const std::vector<DaySetting>& other);

}  // namespace budwood::plan
