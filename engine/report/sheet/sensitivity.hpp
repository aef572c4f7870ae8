#pragma once

#include <iosfwd>
#include <vector>

#include "plan/plan.hpp"
#include "plan/trials/sensitivity.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"

namespace budwood::report {

struct BatchSensitivity {
  const plan::BatchPlan* batch = nullptr;
  plan::Sensitivity found;
};

/// Writes what moves a cell of each of these batches, and how far each input may go with a plan
/// that can be carried out; see `plan::sensitivity_of`.
///
/// Table: one a batch, the inputs that move it most first, then the batch's own plants and date.
/// CSV: a row for each of them; of several feasible stretches the one that holds the present value.
/// JSON: one object with all of it. Dates are ISO 8601, and differences of dates are days.
void write_sensitivity(std::ostream& out, const plan::Plan& plan,
                       const std::vector<BatchSensitivity>& batches, Format format,
                       const Style& style = {});

}  // namespace budwood::report
