#include "plan/today/tell_deviations.hpp"

#include "plan/expanded.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

using calendar::days_text;
using sheet::Deviation;

/// Where the batch fixes the day that is missed.
text::Span span_of(const book::Batch& facts, const Deviation& deviation) {
  if (deviation.kind == Deviation::Kind::ready && facts.ready) return facts.ready->span;
  return deviation.span.source == nullptr ? facts.span : deviation.span;
}

void tell_late(Expanded& out, const book::Batch& facts, const sheet::Row& row,
               const Deviation& late) {
  Conflict conflict;
  conflict.batch = facts.id.value;
  conflict.code = "late";
  conflict.message = late.text;
  conflict.span = span_of(facts, late);
  conflict.repairs.push_back(
      {"Promise it for that day.", facts.id.value + ".ready=" + calendar::iso_date(*row.ready())});
  out.conflicts.push_back(std::move(conflict));
}

/// A stage is under way that its gate should have ended: people have to choose, so both ways on are
/// told with their dates.
void tell_gate(Expanded& out, const book::Batch& facts, const sheet::Row& row,
               const Deviation& late) {
  const language::Stage& stage = row.stage(late.stage);
  const int spare = row.days(row.cells(late.stage).float_days);
  const std::string ready = calendar::short_date(*row.ready());
  Conflict conflict;
  conflict.batch = facts.id.value;
  conflict.code = "gate-passed";
  conflict.message = "`" + stage.gate->written + "` has not been seen: " + late.text;
  conflict.span = span_of(facts, late);
  conflict.repairs.push_back({"Go on without it on " + calendar::short_date(row.end(late.stage)) +
                              ": then the batch is ready on " + ready + "."});
  conflict.repairs.push_back(
      {spare > 0 ? "Wait for it: up to " + days_text(spare) + " longer leave it ready on " + ready +
                       "; after that each day makes it a day later."
                 : "Wait for it: each day makes the batch a day later than " + ready + "."});
  out.conflicts.push_back(std::move(conflict));
}

void tell_ahead(Expanded& out, const book::Batch& facts, const sheet::Row& row) {
  Conflict conflict;
  conflict.batch = facts.id.value;
  conflict.code = "limit-passed";
  conflict.message = "What has happened leaves no room for all that the protocol says.";
  conflict.span = facts.span;
  for (const Deviation& one : row.deviations()) {
    if (one.happened) continue;
    if (one.kind == Deviation::Kind::ready) {
      tell_late(out, facts, row, one);
    } else if (one.kind == Deviation::Kind::length && row.stage(one.stage).gate) {
      tell_gate(out, facts, row, one);
    } else {
      conflict.facts.push_back({one.text, span_of(facts, one)});
    }
  }
  if (!conflict.facts.empty()) out.conflicts.push_back(std::move(conflict));
}

/// What nobody noted and what was noted tells, in a sentence each.
void tell_granted(Expanded& out, const book::Batch& facts, const sheet::Row& row) {
  struct Told {
    const char* because;
    std::vector<std::string> what;
    text::Span span;
  };
  Told seen{"the gate was seen then", {}, {}};
  Told begun{"work of that day was done", {}, {}};
  Told finished{"all work was done then", {}, {}};
  for (const sheet::Pin& pin : row.facts().pins) {
    if (!pin.inferred) continue;
    const bool gate = row.stage(pin.stage).gate.has_value();
    Told& told = !pin.end ? begun : gate ? seen : finished;
    if (told.what.empty()) told.span = pin.span;
    told.what.push_back("`" + row.stage(pin.stage).name + "` on " + calendar::short_date(pin.day));
  }
  const auto tell = [&](const Told& told, const char* verb) {
    if (told.what.empty()) return;
    out.notes.push_back({facts.id.value,
                         std::string("Taken for granted: ") + verb + " " +
                             text::list_words(told.what) + " (" + told.because + ").",
                         told.span});
  };
  tell(begun, "the start of");
  tell(seen, "the end of");
  tell(finished, "the end of");
}

}  // namespace

void tell_deviations(const Plan& plan, const BatchPlan& batch, Expanded& out) {
  const sheet::Row row = plan.row_of(batch);
  const book::Batch& facts = plan.facts_of(batch);
  tell_granted(out, facts, row);
  for (const Deviation& one : row.deviations()) {
    if (one.happened) out.notes.push_back({facts.id.value, one.text, span_of(facts, one)});
  }
  tell_ahead(out, facts, row);
}

}  // namespace budwood::plan
