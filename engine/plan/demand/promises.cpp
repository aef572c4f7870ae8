#include <algorithm>
#include <cmath>

#include "plan/demand/demand.hpp"
#include "plan/orders/portions.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;

/// Plants that are there from a day on.
struct There {
  Day day = 0;
  double plants = 0;
};

const sheet::Chain& last_chain(const sheet::Row& row) {
  const auto& chains = row.layout().chains;
  return *std::find_if(chains.begin(), chains.end(),
                       [](const sheet::Chain& chain) { return chain.next.empty(); });
}

/// What of a picking goes out for the order.
double goes_out(const Portion& portion) {
  if (portion.grades.empty()) return portion.plants;
  double out = 0;
  for (const GradeAmount& one : portion.grades) {
    const bool goes_on = one.grade != nullptr && one.grade->way == language::Grade::Way::goes_on;
    if (goes_on) out += one.plants;
  }
  return out;
}

/// What a batch brings, and when: all at its end, or with each picking of its last stage.
std::vector<There> brought(const Plan& plan, const BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  const There taken{taken_from(plan, number_of(plan, batch)), batch.from_stock};
  if (!batch.raised) return {taken};
  const language::StageId last = last_chain(row).stages.back();
  const double all = row.value(row.cells(last).left);
  std::vector<There> out;
  if (language::picks_in_portions(row.stage(last))) {
    for (const Portion& one : portions_of(plan, batch)) {
      if (one.stage == last) out.push_back({one.date, goes_out(one)});
    }
  }
  double picked = 0;
  for (const There& one : out) picked += one.plants;
  const auto ready = row.ready();
  if (out.empty() && ready) out.push_back({*ready, all});
  // What is counted after all pickings may differ a little.
  if (picked > 0) {
    for (There& one : out) one.plants *= all / picked;
  }
  const auto later =
      std::find_if(out.begin(), out.end(), [&](const There& one) { return one.day > taken.day; });
  if (taken.plants > 0) out.insert(later, taken);
  return out;
}

std::string promise_text(const book::Promise& promise) {
  return std::to_string(promise.plants) + " plants on " + calendar::short_date(promise.on) +
         (promise.whose.empty() ? "" : " for " + promise.whose);
}

void tell_broken(Plan& plan, const BatchPlan& batch, const PromiseKept& one) {
  const book::Batch& facts = plan.facts_of(batch);
  Conflict conflict;
  conflict.batch = facts.id.value;
  conflict.code = "promise-broken";
  conflict.span = one.promise->span;
  const auto there = static_cast<std::int64_t>(std::floor(one.there + 1e-6));
  conflict.message = promise_text(*one.promise) + " are promised, and " +
                     (there > 0 ? std::to_string(there) : std::string("none")) +
                     " are expected to be there for it.";
  if (facts.stopped) {
    conflict.message = promise_text(*one.promise) + " are promised of a batch that was given up.";
    conflict.repairs.push_back({"Take them from another batch, and write the promise there."});
  } else if (one.whole) {
    conflict.repairs.push_back(
        {"Promise them for " + calendar::short_date(*one.whole) + " or later."});
  } else {
    conflict.repairs.push_back({"Promise " + std::to_string(there) + " plants."});
  }
  plan.conflicts.push_back(std::move(conflict));
}

void tell_too_many(Plan& plan, const BatchPlan& batch) {
  const book::Batch& facts = plan.facts_of(batch);
  std::int64_t promised = 0;
  for (const book::Promise& one : facts.promised) promised += one.plants;
  if (promised <= facts.plants.value) return;
  const std::string number = std::to_string(promised);
  Conflict conflict;
  conflict.batch = facts.id.value;
  conflict.code = "promised-more";
  conflict.span = facts.plants.span;
  conflict.message = number + " plants are promised, and the batch aims at " +
                     std::to_string(facts.plants.value) + ".";
  conflict.repairs.push_back(
      {"Aim at " + number + " plants.", facts.id.value + ".plants=" + number});
  plan.conflicts.push_back(std::move(conflict));
}

void warn_of_aim(const book::Batch& facts, text::Diagnostics& diagnostics) {
  const book::Demand& demand = *facts.demand;
  const std::int64_t plants = facts.plants.value;
  const bool more = plants > demand.most.value;
  if (!more && plants >= demand.least.value) return;
  diagnostics.warning(
      "aim-off-demand", facts.plants.span,
      "Batch `" + facts.id.value + "` aims at " + std::to_string(plants) + " plants, " +
          (more ? "more than the " + std::to_string(demand.most.value) + " that can be wanted."
                : "fewer than the " + std::to_string(demand.least.value) +
                      " that are wanted in any case."),
      "`budwood plan` tells which number is best on average.");
}

}  // namespace

std::vector<PromiseKept> promises_of(const Plan& plan, const BatchPlan& batch) {
  std::vector<PromiseKept> out;
  const book::Batch& facts = plan.facts_of(batch);
  if (facts.promised.empty()) return out;
  if (facts.stopped) {
    for (const book::Promise& promise : facts.promised) {
      if (promise.on < facts.stopped->value) continue;
      out.emplace_back();
      out.back().promise = &promise;
    }
    return out;
  }
  if (!batch.dated && batch.raised) return out;
  const std::vector<There> all = brought(plan, batch);
  double before = 0;
  for (const book::Promise& promise : facts.promised) {
    const auto plants = static_cast<double>(promise.plants);
    PromiseKept one;
    one.promise = &promise;
    double there = 0;
    for (const There& part : all) {
      there += part.plants;
      if (part.day <= promise.on) one.there = std::clamp(there - before, 0.0, plants);
      const bool whole = there >= before + plants - 1e-6;
      // What was always there is there on its day in any case.
      if (whole && !one.whole) one.whole = part.day > calendar::first_day ? part.day : promise.on;
    }
    before += plants;
    out.push_back(one);
  }
  return out;
}

void check_wanted(Plan& plan, text::Diagnostics& diagnostics) {
  for (const BatchPlan& batch : plan.batches) {
    const book::Batch& facts = plan.facts_of(batch);
    if (facts.demand) warn_of_aim(facts, diagnostics);
    if (facts.promised.empty() || (batch.over && !facts.stopped)) continue;
    if (!facts.stopped) tell_too_many(plan, batch);
    for (const PromiseKept& one : promises_of(plan, batch)) {
      if (!one.kept()) tell_broken(plan, batch, one);
    }
  }
}

}  // namespace budwood::plan
