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

Conflict conflict_of(const book::Batch& facts, std::string code, std::string message,
                     const text::Span& span) {
  Conflict out;
  out.batch = facts.id.value;
  out.code = std::move(code);
  out.message = std::move(message);
  out.span = span;
  return out;
}

void tell_ahead(Plan& plan, const book::Batch& facts, const std::vector<Deviation>& deviations) {
  Conflict limits = conflict_of(facts, "limit-passed",
                                "What has happened leaves no room for all that the protocol "
                                "says.",
                                facts.span);
  for (const Deviation& one : deviations) {
    if (one.happened) continue;
    if (one.kind == Deviation::Kind::ready) {
      plan.conflicts.push_back(conflict_of(facts, "late", one.text, place_of(facts, one)));
      plan.conflicts.back().repairs.push_back(
          "Promise it for that day, or take fewer plants and raise "
          "the rest in another batch.");
    } else {
      limits.facts.push_back({one.text, place_of(facts, one)});
    }
  }
  if (!limits.facts.empty()) plan.conflicts.push_back(std::move(limits));
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
