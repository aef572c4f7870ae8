/// `sheet::reasons_of` gives each step of a date as data; here it is told, and steps that say
/// nothing new are merged. A batch that was started is told twice, because its ready date is
/// held by the earliest plan and its start by the latest. Names in a formula are replaced in
/// the written text by their spans, so the values stand in the grower's own layout.
#pragma once

#include <iosfwd>
#include <string>

#include "plan/plan.hpp"
#include "report/formats/table.hpp"

namespace budwood::report {

/// Writes how a value of a batch came about, as one would tell a colleague: the answer in a
/// sentence, then what it rests on. Of a date, what holds it step by step, up to a date that the
/// batch sets; of any other value, its formula with the values put in, down to inputs; of a missing
/// one, where it got lost. Every fact has its line. Longer answers are folded unless `all` is asked
/// for.
void write_why(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
               sheet::CellId cell, bool all, const Style& style = {});

/// Writes what rests on a value, step by step and by stage, and what of the plan changes with it.
void write_uses(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
                sheet::CellId cell, bool all, const Style& style = {});

}  // namespace budwood::report
