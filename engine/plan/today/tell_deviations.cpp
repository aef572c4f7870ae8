#include "plan/today/tell_deviations.hpp"

#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

using sheet::Deviation;

/// Where the batch fixes the day that is missed.
text::Span place_of(const book::Batch& facts, const Deviation& deviation) {
  if (deviation.kind == Deviation::Kind::ready && facts.ready) return facts.ready->span;
  return deviation.span.source == nullptr ? facts.span : deviation.span;
}

void tell_late(Plan& plan, const book::Batch& facts, const Deviation& late) {
  Conflict conflict;
  conflict.batch = facts.id.value;
  conflict.code = "late";
  conflict.message = late.text;
  conflict.span = place_of(facts, late);
  conflict.repairs.push_back("Promise it for that day.");
  plan.conflicts.push_back(std::move(conflict));
}

void tell_ahead(Plan& plan, const book::Batch& facts, const std::vector<Deviation>& deviations) {
  Conflict conflict;
  conflict.batch = facts.id.value;
  conflict.code = "limit-passed";
  conflict.message = "What has happened leaves no room for all that the protocol says.";
  conflict.span = facts.span;
  for (const Deviation& one : deviations) {
    if (one.happened) continue;
    if (one.kind == Deviation::Kind::ready) {
      tell_late(plan, facts, one);
    } else {
      conflict.facts.push_back({one.text, place_of(facts, one)});
    }
  }
  if (!conflict.facts.empty()) plan.conflicts.push_back(std::move(conflict));
}

}  // namespace

void tell_deviations(Plan& plan, const BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  const book::Batch& facts = plan.facts_of(batch);
  for (const sheet::Pin& pin : row.facts().pins) {
    if (!pin.inferred) continue;
    const std::string stage = "`" + row.stage(pin.stage).name + "`";
    plan.notes.push_back(
        {facts.id.value,
         "It is taken for granted that " + stage +
             (pin.end
                  ? " ended on " + calendar::short_date(pin.day) + ": its gate was seen then."
                  : " started on " + calendar::short_date(pin.day) + ": its work was done then."),
         pin.span});
  }
  for (const Deviation& one : row.deviations()) {
    if (one.happened) plan.notes.push_back({facts.id.value, one.text, place_of(facts, one)});
  }
  tell_ahead(plan, facts, row.deviations());
}

}  // namespace budwood::plan
