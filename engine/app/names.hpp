#pragma once

#include <string>

#include "plan/plan.hpp"

/// Batches and cells as they are named on the command line.
namespace budwood::app {

/// The batch of an id; complains and gives nullptr when there is none with a plan.
const plan::BatchPlan* find_batch(const plan::Plan& plan, const std::string& id);

/// Complains that a protocol has no such value, with what may have been meant.
void complain_of_cell(const sheet::Template& t, const std::string& name);

}  // namespace budwood::app
