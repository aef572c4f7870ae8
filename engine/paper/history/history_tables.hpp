/// What happened to a batch, as rows of tables. Private to this module.
#pragma once

#include <string>
#include <vector>

#include "plan/plan.hpp"
#include "record/entry.hpp"

namespace budwood::paper {

using Rows = std::vector<std::vector<std::string>>;

/// Stage, room, began, was over, plants left: as recorded, "" where nothing is.
Rows stage_rows(const plan::Plan& plan, const plan::BatchPlan& batch);
/// Day, who, work, plants, time, used, remark: of work that was done, by day.
Rows work_rows(const plan::Plan& plan, const plan::BatchPlan& batch,
               const std::vector<record::Entry>& holding);
/// Day, who, what: all else that happened, by day.
Rows other_rows(const std::vector<record::Entry>& holding);
/// Entry, noted, day, who, what, since then: every entry, in the order noted.
Rows entry_rows(const std::vector<record::Entry>& entries);
/// What was otherwise than the protocol says, and what cannot be kept any more.
std::vector<std::string> deviation_texts(const plan::Plan& plan, const plan::BatchPlan& batch);

}  // namespace budwood::paper
