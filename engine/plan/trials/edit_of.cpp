#include "plan/trials/edit_of.hpp"

#include <cmath>

#include "plan/plan.hpp"
#include "plan/trials/what_if_target.hpp"

namespace budwood::plan {

namespace {

const BatchPlan* batch_named(const Plan& plan, const std::string& id) {
  for (const BatchPlan& one : plan.batches) {
    if (plan.facts_of(one).id.value == id) return &one;
  }
  return nullptr;
}

}  // namespace

std::optional<sheet::Edit> edit_of(const Plan& plan, const Change& change) {
  const BatchPlan* batch = change.batch.empty() ? nullptr : batch_named(plan, change.batch);
  if (batch == nullptr) return std::nullopt;
  const Target target = find_target(plan.sheet_of(*batch).layout(), change.name);
  const bool given = !std::isnan(change.after);
  const auto number = given ? std::optional(change.after) : std::nullopt;
  const auto day = given ? std::optional(static_cast<calendar::Day>(change.after)) : std::nullopt;
  const auto stage = language::StageId(static_cast<std::uint32_t>(target.index));
  switch (target.kind) {
    case Target::Kind::input:
    case Target::Kind::spare:
    case Target::Kind::full_trays:
      return sheet::SetInput{batch->key(), target.cell, number};
    case Target::Kind::plants:
      // How many it takes of what is ready already is seen when all is planned anew.
      if (!plan.finished.empty()) return std::nullopt;
      return sheet::SetPlants{batch->key(), change.after};
    case Target::Kind::sure:
      return sheet::SetSure{batch->key(), given ? change.after : 0};
    case Target::Kind::ready:
      return sheet::SetReady{batch->key(), *day};
    case Target::Kind::start:
      return sheet::SetStart{batch->key(), *day};
    case Target::Kind::stage_date:
      return sheet::SetPin{batch->key(), stage, target.end, day};
    case Target::Kind::count:
      return sheet::SetCount{batch->key(), stage, number};
    case Target::Kind::not_before:
    case Target::Kind::demand:
    case Target::Kind::worked_out:
    case Target::Kind::unknown:
      return std::nullopt;
  }
  return std::nullopt;
}

}  // namespace budwood::plan
