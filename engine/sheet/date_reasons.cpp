#include "network/network.hpp"
#include "sheet/conflict_words.hpp"
#include "sheet/dates.hpp"
#include "sheet/sheet.hpp"

/// Why planned dates are not later, in a grower's words.
namespace budwood::sheet {

CellId DatePlanner::cell_at(network::PointId point) const {
  const std::size_t stage = point / 2;
  if (stage >= t_.stages.size()) return t_.ready;
  return point % 2 == 0 ? t_.stages[stage].start : t_.stages[stage].end;
}

/// What holds a date where it is; `through` is the date that it is bound by. Stages that just
/// follow each other are worth a word here, though they are no news in a conflict.
DateConflict::Line DatePlanner::describe_hold(const network::Binding& step,
                                              std::optional<network::PointId> through,
                                              const BatchFacts& batch) const {
  const bool finish = step.point + 1 == network_.point_count();
  if (finish && step.fact.kind == network::Fact::Kind::not_after && batch.start) {
    return {"Started on " + date_text(*batch.start) +
                " or as soon after it as its work allows, the batch is ready on " +
                date_text(step.bound) + " at the earliest.",
            {}};
  }
  DateConflict::Line line = describe(step.fact, batch);
  if (!line.text.empty() || !through) return line;
  const std::size_t one = step.point / 2;
  const std::size_t other = *through / 2;
  const auto name = [&](std::size_t s) { return stage_text(static_cast<std::int32_t>(s)); };
  if (one == other) return {name(one) + " is over on the day on which it starts.", {}};
  if (other >= t_.stages.size()) return {"The batch is ready when " + name(one) + " is over.", {}};
  const bool before = step.fact.kind == network::Fact::Kind::link_low;
  return {before ? name(other) + " follows " + name(one) + "."
                 : name(one) + " follows " + name(other) + ".",
          {}};
}

std::vector<DateReason> DatePlanner::reasons(network::PointId point,
                                             const BatchFacts& batch) const {
  const std::vector<network::Binding> steps = network::bindings(network_, point);
  std::vector<DateReason> out;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const network::Binding& step = steps[i];
    DateReason reason{cell_at(step.point), step.day, {}};
    const auto through = i + 1 < steps.size() ? std::optional(steps[i + 1].point) : std::nullopt;
    reason.facts.push_back(describe_hold(step, through, batch));
    if (step.bound != step.day && step.fact.kind != network::Fact::Kind::allowed) {
      reason.facts.push_back(
          describe({network::Fact::Kind::allowed, step.point, step.bound}, batch));
    }
    out.push_back(std::move(reason));
  }
  return out;
}

std::vector<DateReason> reasons_of(const Sheet& sheet, CellId date, std::size_t row) {
  const Template& t = sheet.layout();
  std::optional<network::PointId> point;
  for (std::size_t s = 0; s < t.stages.size(); ++s) {
    const auto stage = static_cast<std::int32_t>(s);
    if (t.stages[s].start == date) point = DateLayout::start_of(stage);
    if (t.stages[s].end == date) point = DateLayout::end_of(stage);
  }
  if (t.ready == date) point = static_cast<network::PointId>(2 * t.stages.size());
  if (!point) return {};
  DatePlanner planner(t, sheet.site());
  if (!planner.plan(sheet.batch(row), sheet.columns(), row)) return {};
  return planner.reasons(*point, sheet.batch(row));
}

}  // namespace budwood::sheet
