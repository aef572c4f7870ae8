#include <algorithm>

#include "plan/level/level.hpp"
#include "plan/level/level_problem.hpp"
#include "plan/orders/duty.hpp"
#include "plan/orders/turns.hpp"

namespace budwood::plan {

using calendar::Day;
using levelling::PointId;

namespace {

/// Whether a work and another one of its stage are done in a fixed order.
bool is_tied(const language::Stage& stage, language::WorkId work) {
  const auto follows = [&](const language::Work& one) {
    const auto& after = one.timing.hours.after;
    return std::find(after.begin(), after.end(), work) != after.end();
  };
  return !stage.works[work].timing.hours.after.empty() ||
         std::any_of(stage.works.begin(), stage.works.end(), follows);
}

}  // namespace

void LevelProblem::add_orders() {
  for (std::size_t i = 0; i < plan_.orders.size(); ++i) {
    const WorkOrder& order = plan_.orders[i];
    if (order.state == OrderState::left_out || !is_grouped(order.batch)) continue;
    add_order(order, static_cast<std::int64_t>(i));
    add_duty(order, static_cast<std::int64_t>(i));
  }
  add_left_out();
}

/// A treatment that closes a room for others stays on its day of the stage, so that it is known
/// when the room is closed.
bool LevelProblem::keeps_its_day(const WorkOrder& order) const {
  const language::Stage& stage = plan_.protocol_of(plan_.batches[order.batch]).stages[order.stage];
  if (stage.works[order.work].no_entry == language::no_formula) return false;
  return std::any_of(lessons_.treated.begin(), lessons_.treated.end(),
                     [&](const Lessons::Pair& pair) { return pair.first == order.batch; });
}

void LevelProblem::add_order(const WorkOrder& order, std::int64_t index) {
  const BatchPlan& batch = plan_.batches[order.batch];
  const language::Work& work = plan_.protocol_of(batch).stages[order.stage].works[order.work];
  const auto crew = resource_of_crew_.find(work.crew);
  const double seconds = person_seconds(plan_, order);
  if (crew == resource_of_crew_.end() || !(seconds > 0)) return;
  const Group& group = groups_[group_of_[order.batch]];
  const PointId start = group.first + sheet::DateLayout::start_of(order.stage);
  const StageSpan span = work_span(plan_.row_of(batch), order.stage, order.work);
  const bool stays =
      group.stays || order.done() || (options_.frozen && order.date < *options_.frozen);
  if (stays) freeze(start);
  // The days of work that is spread go together with the first.
  const Day base = order.parts > 1 ? order.date : order.due;
  const Day last = std::max(order.date, latest_day(work, order.due, span));
  levelling::Use use;
  use.resource = crew->second;
  use.amount = steps_of(seconds, crew_step);
  const bool treats = keeps_its_day(order);
  const bool tied =
      stays || treats || is_tied(plan_.protocol_of(batch).stages[order.stage], order.work);
  use.from = {start, (tied ? order.date : base) - span.first};
  use.to = {start, use.from.offset + 1};
  use.slack = tied ? 0 : last - base;
  if (use.slack > 0) {
    use.starts = &plan_.book->site.working.days();
    use.optional = !work.timing.must;
    // A look may have been moved to a day before.
    use.wanted = std::max(0, order.date - base);
    use.apart = 1;
  } else if (treats && !stays) {
    use.starts = &plan_.book->site.working.days();
  }
  add_use(use, index);
}

/// What looks after plants falls to whoever has duty where it is due on a day on which the site
/// does not work. On all other days there is no end of hours of duty.
void LevelProblem::add_duty(const WorkOrder& order, std::int64_t index) {
  if (resource_of_duty_.empty() || order.done() || order.part > 0) return;
  const BatchPlan& batch = plan_.batches[order.batch];
  const language::Work& work = plan_.protocol_of(batch).stages[order.stage].works[order.work];
  const double seconds = person_seconds(plan_, order) * order.parts;
  if (!language::looks_after_plants(work) || !(seconds > 0)) return;
  const Group& group = groups_[group_of_[order.batch]];
  const PointId start = group.first + sheet::DateLayout::start_of(order.stage);
  const Day first = work_span(plan_.row_of(batch), order.stage, order.work).first;
  levelling::Use use;
  use.amount = steps_of(seconds, crew_step);
  use.from = {start, order.due - first};
  use.to = {start, use.from.offset + 1};
  for (const auto& [name, resource] : resource_of_duty_) {
    use.resource = resource;
    add_use(use, index);
  }
}

/// Turns that today's plan leaves out, as nobody works on their days, come back when their batch
/// stands on other days.
void LevelProblem::add_left_out() {
  for (std::uint32_t b = 0; b < plan_.batches.size(); ++b) {
    if (!is_grouped(b) || groups_[group_of_[b]].stays) continue;
    const language::Protocol& protocol = plan_.protocol_of(plan_.batches[b]);
    for (const language::StageId s : protocol.stages.ids()) {
      for (const language::WorkId w : protocol.stages[s].works.ids()) add_left_out(b, s, w);
    }
  }
}

void LevelProblem::add_left_out(std::uint32_t b, language::StageId s, language::WorkId w) {
  const BatchPlan& batch = plan_.batches[b];
  const sheet::Row row = plan_.row_of(batch);
  const language::Work& work = row.stage(s).works[w];
  const book::Batch& facts = plan_.facts_of(batch);
  if (!facts.lead && !language::grows_with_plants(work)) return;
  const bool counts = resource_of_crew_.contains(work.crew) ||
                      (!resource_of_duty_.empty() && language::looks_after_plants(work));
  if (!counts || sheet::must_find_people(work, 0)) return;
  const StageSpan span = work_span(row, s, w);
  const std::vector<Turn> turns = turns_of(row, s, w);
  for (const Turn& turn : turns) {
    const DutyDay duty = duty_day(plan_.book->site, work, turns, turn, span);
    if (duty.applies ? duty.date.has_value() : turn.date.has_value()) continue;
    if (options_.frozen && turn.due < *options_.frozen) continue;
    WorkOrder order;
    order.date = order.due = turn.due;
    order.batch = b;
    order.stage = s;
    order.work = w;
    order.occurrence = turn.occurrence;
    const auto index = static_cast<std::int64_t>(plan_.orders.size() + extra_.size());
    extra_.push_back(order);
    add_order(order, index);
    add_duty(order, index);
  }
}

}  // namespace budwood::plan
