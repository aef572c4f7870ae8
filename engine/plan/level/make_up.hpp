/// A batch that fills what another one came short of.
#pragma once

#include <cstdint>
#include <optional>

#include "book/batches/batch.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

/// How many of the plants that were ordered a batch is expected to be short of at its end, by what
/// was counted; all of a batch that was given up. 0 when none, or when it has no numbers.
std::int64_t missing_plants(const Plan& plan, const BatchPlan& batch);

/// So many plants of the same protocol and values, under an id of its own, written as a demand:
/// ready with the other batch, or else as early as what begins today can be. It may find room some
/// days earlier or later. Nothing when the plan has no day to go on from, or when no such batch has
/// dates.
std::optional<book::Batch> make_up_batch(const Plan& plan, const BatchPlan& batch,
                                         std::int64_t plants);

}  // namespace budwood::plan
