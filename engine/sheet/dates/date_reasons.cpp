#include "sheet/dates/date_reasons.hpp"
#include "network/network.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/dates/conflict_words.hpp"
#include "sheet/dates/dates.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/template.hpp"

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
  if (is_held_early(step, batch)) {
    const bool delivery = step.point == finish();
    const std::string what = delivery ? "the batch is ready"
                                      : stage_text(static_cast<std::int32_t>(step.point / 2)) +
                                            (step.point % 2 == 0 ? " starts" : " is over");
    return {"Started on " + date_text(*batch.first_day()) +
                (batch.start ? ", " : " or as soon after it as its work allows, ") + what + " on " +
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

/// The days from `last` back to before `after` on which a date cannot fall, by reason.
std::vector<ClosedDays> DatePlanner::closed_between(network::PointId point, Day after,
                                                    Day last) const {
  using Kind = ClosedDays::Kind;
  const auto s = static_cast<std::int32_t>(point / 2);
  const auto why = [&](Day day) {
    ClosedDays closed;
    closed.first = closed.last = closed.due = day;
    if (point == finish()) {
      closed.kind = Kind::hand_over;
      return closed;
    }
    closed.stage = StageId(s);
    return point % 2 == 0 ? closed_start(s, day).value_or(closed) : closed;
  };
  std::vector<ClosedDays> out;
  for (Day day = last; day > after; --day) {
    ClosedDays next = why(day);
    const bool more = !out.empty() && out.back().kind == next.kind &&
                      out.back().work == next.work &&
                      out.back().due - out.back().last == next.due - next.last;
    if (more) {
      out.back().first = day;
    } else {
      out.push_back(std::move(next));
    }
  }
  return out;
}

void DatePlanner::describe_link_step(DateReason& reason, const network::Binding& step) const {
  const std::size_t own = t_.dates.links.size();
  const bool limit = step.fact.id >= own;
  const DateLink& link = t_.dates.links[limit ? limited_links_[step.fact.id - own] : step.fact.id];
  const network::Network::Link& bounds = network_.link(step.fact.id);
  reason.by_end = step.point == link.to;
  if (bounds.length == nullptr) {
    reason.days = step.fact.kind == network::Fact::Kind::link_high ? bounds.high : bounds.low;
  }
  reason.stage = StageId(link.stage);
  const std::size_t other = link.to / 2;
  if (other < t_.stages.size()) reason.other = StageId(other);
  reason.span = link.span;
  switch (link.kind) {
    case DateLink::Kind::length:
      reason.hold = DateReason::Hold::length;
      break;
    case DateLink::Kind::after:
      reason.hold = DateReason::Hold::after;
      break;
    case DateLink::Kind::wait:
    case DateLink::Kind::finish:
      reason.hold = DateReason::Hold::follows;
      break;
  }
}

void DatePlanner::describe_own_date(DateReason& reason, const network::Binding& step,
                                    const BatchFacts& batch) const {
  using Hold = DateReason::Hold;
  reason.stage = StageId(step.point / 2);
  if (step.fact.kind == network::Fact::Kind::allowed) return;
  if (is_held_early(step, batch)) {
    reason.hold = Hold::started;
    return;
  }
  if (step.point == finish()) {
    reason.hold = Hold::ready;
    return;
  }
  for (const Pin& pin : batch.pins) {
    if (pin.stage != reason.stage || pin.end != (step.point % 2 == 1) || pin.day != step.bound) {
      continue;
    }
    reason.hold = Hold::pinned;
    reason.span = pin.span;
    reason.recorded = pin.recorded;
  }
  if (reason.hold != Hold::pinned && batch.first_day() == step.bound) reason.hold = Hold::started;
}

void DatePlanner::describe_step(DateReason& reason, const network::Binding& step,
                                const BatchFacts& batch) const {
  reason.cell = cell_at(step.point);
  reason.day = step.day;
  reason.bound = step.bound;
  if (is_of_link(step.fact)) {
    describe_link_step(reason, step);
  } else {
    describe_own_date(reason, step, batch);
  }
  if (step.fact.kind == network::Fact::Kind::allowed) return;
  reason.closed = step.bound > step.day ? closed_between(step.point, step.day, step.bound)
                                        : closed_between(step.point, step.bound - 1, step.day - 1);
}

bool DatePlanner::is_of_link(const network::Fact& fact) {
  using Kind = network::Fact::Kind;
  return fact.kind == Kind::link_low || fact.kind == Kind::link_high || fact.kind == Kind::length;
}

/// Whether a date is held where it is because it is as early as the start of the batch allows.
bool DatePlanner::is_held_early(const network::Binding& step, const BatchFacts& batch) const {
  return batch.first_day() && step.fact.kind == network::Fact::Kind::not_after &&
         pinned_[step.point] != step.bound;
}

std::vector<DateReason> DatePlanner::reasons_not_earlier(network::PointId point,
                                                         const BatchFacts& batch) const {
  std::vector<DateReason> out;
  for (const network::Binding& step : network::earliest_bindings(network_, point)) {
    DateReason reason;
    describe_step(reason, step, batch);
    if (is_of_link(step.fact)) reason.facts.push_back(describe(step.fact, batch));
    out.push_back(std::move(reason));
  }
  return out;
}

std::vector<DateReason> DatePlanner::reasons(network::PointId point,
                                             const BatchFacts& batch) const {
  const std::vector<network::Binding> steps = network::bindings(network_, point);
  std::vector<DateReason> out;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const network::Binding& step = steps[i];
    DateReason reason;
    const auto through = i + 1 < steps.size() ? std::optional(steps[i + 1].point) : std::nullopt;
    reason.facts.push_back(describe_hold(step, through, batch));
    if (step.bound != step.day && step.fact.kind != network::Fact::Kind::allowed) {
      reason.facts.push_back(
          describe({network::Fact::Kind::allowed, step.point, step.bound}, batch));
    }
    describe_step(reason, step, batch);
    out.push_back(std::move(reason));
  }
  return out;
}

namespace {

/// The point of a planned date; nothing for other cells.
std::optional<network::PointId> point_of(const Template& t, CellId date) {
  for (std::size_t s = 0; s < t.stages.size(); ++s) {
    const auto stage = static_cast<std::int32_t>(s);
    if (t.stages[s].start == date) return DateLayout::start_of(stage);
    if (t.stages[s].end == date) return DateLayout::end_of(stage);
  }
  if (t.ready == date) return static_cast<network::PointId>(2 * t.stages.size());
  return std::nullopt;
}

}  // namespace

std::vector<DateReason> reasons_of(const Row& row, CellId date) {
  const auto point = point_of(row.layout(), date);
  if (!point) return {};
  DatePlanner planner(row.layout(), row.sheet().site());
  if (!planner.plan(row.facts(), row.sheet().columns(), row.number())) return {};
  return planner.reasons(*point, row.facts());
}

std::vector<DateReason> reasons_not_earlier(const Row& row, CellId date) {
  const auto point = point_of(row.layout(), date);
  if (!point || !row.facts().first_day()) return {};
  DatePlanner planner(row.layout(), row.sheet().site());
  if (!planner.plan(row.facts(), row.sheet().columns(), row.number())) return {};
  return planner.reasons_not_earlier(*point, row.facts());
}

}  // namespace budwood::sheet
