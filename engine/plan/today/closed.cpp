#include "plan/today/closed.hpp"

#include <algorithm>

#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;
using language::StageId;
using Ends = language::List<std::optional<Day>, language::Stage>;

/// By stage, the day on which none of its plants were left: it was over, or they were counted as
/// none.
Ends ends_of(const Plan& plan, const BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  Ends out(row.protocol().stages.size());
  for (const sheet::Pin& pin : row.facts().pins) {
    if (pin.recorded && pin.end) out[pin.stage] = pin.day;
  }
  for (const book::Count& count : plan.facts_of(batch).counted) {
    const StageId stage = row.protocol().stages.find(count.stage);
    const record::Entry* entry = book::entry_at(*plan.book, count.span);
    if (!stage.known() || count.plants > 0 || entry == nullptr) continue;
    out[stage] = std::min(out[stage].value_or(entry->day), entry->day);
  }
  return out;
}

/// Plants that were counted as none come into no later stage either.
void pass_on_none(const Plan& plan, const BatchPlan& batch, Ends& ends) {
  const language::Protocol& protocol = plan.protocol_of(batch);
  const auto is_none = [&](StageId stage) {
    const auto& counted = plan.facts_of(batch).counted;
    return std::any_of(counted.begin(), counted.end(), [&](const book::Count& one) {
      return one.stage == protocol.stages[stage].name && one.plants == 0;
    });
  };
  language::List<char, language::Stage> none(protocol.stages.size());
  for (std::size_t round = 0; round < protocol.stages.size(); ++round) {
    for (const StageId s : protocol.stages.ids()) {
      none[s] = none[s] || is_none(s);
      for (const StageId before : protocol.stages[s].takes) {
        if (!none[before] || none[s]) continue;
        none[s] = true;
        if (!ends[s]) ends[s] = ends[before];
      }
    }
  }
}

}  // namespace

std::optional<Day> closed_on(const Plan& plan, const BatchPlan& batch) {
  if (!plan.book->today) return std::nullopt;
  const language::Protocol& protocol = plan.protocol_of(batch);
  Ends ends = ends_of(plan, batch);
  pass_on_none(plan, batch, ends);
  language::List<char, language::Stage> goes_on(protocol.stages.size());
  for (const language::Stage& stage : protocol.stages) {
    for (const StageId before : stage.takes) goes_on[before] = true;
  }
  std::optional<Day> last;
  for (const StageId s : protocol.stages.ids()) {
    if (goes_on[s]) continue;
    if (!ends[s]) return std::nullopt;
    last = std::max(last.value_or(*ends[s]), *ends[s]);
  }
  return last && *last <= *plan.book->today ? last : std::nullopt;
}

}  // namespace budwood::plan
