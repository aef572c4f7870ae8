#pragma once

#include <string>
#include <vector>

#include "plan/plan.hpp"

namespace budwood::report {

/// What a batch takes, a sentence a line: what is started when, when it is ready, the rooms it
/// stands in and the hours of the crews.
std::vector<std::string> outline_of(const plan::Plan& plan, const plan::BatchPlan& batch);

}  // namespace budwood::report
