#include <set>
#include <sstream>

#include "page/views/views.hpp"
#include "plan/needs/needs.hpp"
#include "plan/rooms/load.hpp"
#include "plan/trials/what_if.hpp"
#include "report/report.hpp"

namespace budwood::page {

namespace {

constexpr std::size_t most_differences = 400;

/// The differences that a report writes for programs.
Json differences_of(const std::string& report) {
  Json read = Json::parse(report, nullptr, false);
  if (read.is_discarded() || !read.contains("differences")) return Json::array();
  Json out = Json::array();
  for (Json& one : read["differences"]) {
    if (out.size() >= most_differences) break;
    out.push_back(std::move(one));
  }
  return out;
}

Json plan_differences(const report::Comparison& both) {
  std::ostringstream out;
  report::write_plan_differences(out, both, {}, report::Format::json);
  return differences_of(out.str());
}

Json needs_differences(const report::Comparison& both) {
  std::ostringstream out;
  report::write_needs_differences(
      out, both, plan::total_needs(both.before, both.before.book->today),
      plan::total_needs(both.after, both.after.book->today), true, report::Format::json);
  return differences_of(out.str());
}

/// The stages of batches that stand elsewhere, as in `season_view`.
Json moved_bars(const plan::Plan& before, const plan::Plan& after) {
  Json out = Json::array();
  for (const plan::BatchPlan& batch : after.batches) {
    if (!batch.dated) continue;
    const std::string& id = after.facts_of(batch).id.value;
    const plan::BatchPlan& old = before.batches[batch.batch];
    const sheet::Row row = after.row_of(batch);
    bool moved = !old.dated;
    Json bars = Json::array();
    for (const language::StageId stage : row.protocol().stages.ids()) {
      bars.push_back({row.start(stage), row.end(stage)});
      moved = moved || before.row_of(old).start(stage) != row.start(stage) ||
              before.row_of(old).end(stage) != row.end(stage);
    }
    if (moved) out.push_back({{"id", id}, {"bars", std::move(bars)}, {"ready", *row.ready()}});
  }
  return out;
}

/// Conflicts of one plan that the other does not have.
Json only_in(const Snapshot& now, const plan::Plan& plan, const plan::Plan& other) {
  std::set<std::pair<std::string, std::string>> known;
  for (const plan::Conflict& one : other.conflicts) known.emplace(one.batch, one.message);
  Json out = Json::array();
  for (const plan::Conflict& one : plan.conflicts) {
    if (!known.contains({one.batch, one.message})) out.push_back(conflict_json(now, one));
  }
  return out;
}

}  // namespace

Json tried_view(Snapshot& now, const std::vector<std::string>& changes, bool whole,
                text::Sources& sources, text::Diagnostics& diagnostics) {
  const auto tried = plan::what_if(now.plan, changes, sources, diagnostics);
  if (!tried) return nullptr;
  const LiveSheet::Outcome outcome = now.live->attempt(now.plan, tried->changes);
  Json out = {{"problem", outcome.problem}, {"cells", cells_json(now, outcome)}};
  if (!whole) return out;
  const plan::Plan after = plan::make_plan(tried->book, diagnostics);
  const report::Comparison both{now.plan, after, tried->changes};
  out["bars"] = moved_bars(now.plan, after);
  out["differences"] = plan_differences(both);
  out["needs"] = needs_differences(both);
  out["new_conflicts"] = only_in(now, after, now.plan);
  out["gone_conflicts"] = only_in(now, now.plan, after);
  out["conflicts"] = after.conflicts.size();
  return out;
}

}  // namespace budwood::page
