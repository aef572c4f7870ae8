#include "plan/shortfalls.hpp"

#include <algorithm>
#include <cmath>

#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

/// Expected numbers are no whole plants; less than half of one is missed by nobody.
constexpr double half_a_plant = 0.5;

std::string plants_text(double plants) {
  return units::format(std::round(plants), units::counting_unit("plants"), 12);
}

/// Where the last count of a stage stands.
text::Span place_of_count(const book::Batch& facts, const std::string& stage) {
  for (const book::Count& count : facts.counted) {
    if (count.stage == stage) return count.span;
  }
  for (const book::GradeCount& count : facts.graded) {
    if (count.stage == stage) return count.span;
  }
  for (auto done = facts.done.rbegin(); done != facts.done.rend(); ++done) {
    if (done->plants && done->order.starts_with(stage + "/")) return done->span;
  }
  return facts.span;
}

}  // namespace

void add_shortfalls(Plan& plan, const BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  const book::Batch& facts = plan.facts_of(batch);
  if (row.facts().counted.empty()) return;
  const auto name = [&](language::StageId s) { return "`" + row.stage(s).name + "`"; };
  for (const sheet::Chain& chain : row.layout().chains) {
    const auto counted = sheet::last_count(row, chain);
    if (!counted) continue;
    const language::StageId stage = chain.stages[counted->place];
    const language::StageId last = chain.stages.back();
    const double needed = row.value(chain.needed) * row.value(row.cells(last).yield, 1);
    const double left = row.value(row.cells(last).left);
    if (!(left < needed - half_a_plant)) continue;
    Conflict conflict;
    conflict.batch = facts.id.value;
    conflict.code = "too-few";
    conflict.message = counted->graded ? "Grades were counted in " + name(stage)
                       : counted->partly
                           ? plants_text(counted->plants) + " were picked in " + name(stage)
                           : plants_text(counted->plants) + " came through " + name(stage);
    if (stage != last || counted->partly) {
      conflict.message += ", so " + plants_text(left) + " are expected after " + name(last);
    }
    const std::string user =
        chain.next.empty()
            ? batch.from_stock > 0 ? "the order, beside what it takes of stock," : "the order"
            : name(chain.next.front());
    conflict.message += ", and " + user + " wants " + plants_text(needed) + ".";
    conflict.span = place_of_count(facts, row.stage(stage).name);
    if (chain.next.empty() && std::floor(left) >= 1) {
      const double all = std::floor(left) + batch.from_stock;
      const auto promised = static_cast<std::int64_t>(all);
      conflict.repairs.push_back({"Promise " + plants_text(all) + ".",
                                  facts.id.value + ".plants=" + std::to_string(promised)});
    }
    conflict.repairs.push_back(
        {"Raise what is missing in a make-up batch: `budwood propose BOOK --make-up " +
         facts.id.value + "` says when it would be ready."});
    plan.conflicts.push_back(std::move(conflict));
  }
}

}  // namespace budwood::plan
