#pragma once

#include <iosfwd>
#include <string>

#include "plan/plan.hpp"
#include "report/table.hpp"

namespace budwood::report {

/// Writes how a value of a batch came about. A date: the facts that hold it, step by step, up to the
/// date that the batch sets. Any other value: what it rests on, down to inputs. Longer answers are
/// folded unless `all` is asked for.
void write_why(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
               sheet::CellId cell, bool all, const Style& style = {});

}  // namespace budwood::report
