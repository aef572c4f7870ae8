#pragma once

#include <optional>

#include "paper/html.hpp"
#include "plan/plan.hpp"

namespace budwood::paper {

/// Writes what stands above the orders of one batch: how many and by when, the picture of its plan,
/// its stages with their dates, and what the planner has to say.
void write_batch_head(Html& html, const plan::Plan& plan, std::size_t batch,
                      std::optional<calendar::Day> today);

}  // namespace budwood::paper
