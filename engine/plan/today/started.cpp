#include "plan/today/started.hpp"

#include <algorithm>
#include <optional>

#include "plan/orders/order_place.hpp"
#include "units/units.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;
using language::StageId;

/// On which day of its stage a turn of work falls, from 0; nothing when that hangs on how long the
/// stage lasts.
std::optional<int> offset_of(const language::Timing& timing, std::size_t occurrence) {
  switch (timing.kind) {
    case language::Timing::Kind::start:
      return 0;
    case language::Timing::Kind::days: {
      std::vector<int> days;
      for (const language::StageDay& day : timing.days) {
        if (day.last) return std::nullopt;
        days.push_back(day.day - 1);
      }
      std::sort(days.begin(), days.end());
      return occurrence <= days.size() ? std::optional(days[occurrence - 1]) : std::nullopt;
    }
    case language::Timing::Kind::repeat:
      break;
  }
  if (timing.from.last) return std::nullopt;
  return timing.from.day - 1 + static_cast<int>(occurrence - 1) * timing.interval;
}

struct Start {
  Day day = 0;
  int offset = 0;  ///< of the work that tells it
  text::Span span;
};

}  // namespace

void add_started(const book::Batch& batch, const language::Protocol& protocol,
                 sheet::BatchFacts& facts) {
  language::List<std::optional<Start>, language::Stage> starts(protocol.stages.size());
  for (const book::OrderDay& done : batch.done) {
    const auto place = place_of(done.order, protocol);
    if (!place || facts.recorded(place->stage, false) != nullptr) continue;
    const auto& work = protocol.stages[place->stage].works[place->work];
    const auto offset = offset_of(work.timing, place->occurrence);
    std::optional<Start>& start = starts[place->stage];
    if (!offset || (start && start->offset <= *offset)) continue;
    start = Start{done.day - *offset, *offset, done.span};
  }
  for (const StageId s : protocol.stages.ids()) {
    if (!starts[s]) continue;
    Day day = starts[s]->day;
    for (const StageId before : protocol.stages[s].takes) {
      if (const auto* end = facts.recorded(before, true)) day = std::max(day, end->day);
    }
    if (const auto* end = facts.recorded(s, true)) day = std::min(day, end->day);
    // A date that was only wanted gives way to what happened.
    std::erase_if(facts.pins,
                  [&](const auto& pin) { return !pin.recorded && pin.stage == s && !pin.end; });
    facts.pins.push_back({s, false, day, true, starts[s]->span, false, true});
  }
}

void add_lasted(const book::Batch& batch, const language::Protocol& protocol,
                sheet::BatchFacts& facts) {
  for (const book::OrderDay& done : batch.done) {
    const auto place = place_of(done.order, protocol);
    if (!place) continue;
    const language::Work& work = protocol.stages[place->stage].works[place->work];
    const auto* start = facts.recorded(place->stage, false);
    if (work.timing.kind != language::Timing::Kind::repeat || start == nullptr) continue;
    const auto offset = offset_of(work.timing, place->occurrence);
    if (offset) facts.lasted.emplace_back(place->stage, start->day + *offset);
  }
}

namespace {

/// Whether a stage takes less than a day, as its protocol writes it.
bool takes_hours(const language::Protocol& protocol, const language::Stage& stage) {
  if (stage.gate || stage.heat || stage.longest == language::no_formula) return false;
  const language::Node& longest = protocol.node(stage.longest);
  return longest.kind == language::Node::Kind::constant && longest.value < units::seconds_a_day;
}

/// The day on which the last work of a stage of hours was done; nothing while some is open.
std::optional<Day> last_work_of(const book::Batch& batch, const language::Stage& stage) {
  std::optional<Day> last;
  for (const language::WorkId w : stage.works.ids()) {
    const language::Timing& timing = stage.works[w].timing;
    // What is only done when something is seen holds nobody up.
    if (timing.kind == language::Timing::Kind::days && timing.days.empty()) continue;
    const std::string name = stage.name + "/" + std::to_string(w.number()) + "/1";
    const auto is_it = [&](const book::OrderDay& one) { return one.order == name; };
    const auto done = std::find_if(batch.done.begin(), batch.done.end(), is_it);
    if (done != batch.done.end()) {
      last = std::max(last.value_or(done->day), done->day);
    } else if (std::none_of(batch.left_out.begin(), batch.left_out.end(), is_it)) {
      return std::nullopt;
    }
  }
  return last;
}

}  // namespace

void add_finished(const book::Batch& batch, const language::Protocol& protocol,
                  sheet::BatchFacts& facts) {
  if (batch.done.empty()) return;
  for (const StageId s : protocol.stages.ids()) {
    const language::Stage& stage = protocol.stages[s];
    if (facts.recorded(s, true) != nullptr || !takes_hours(protocol, stage)) continue;
    auto day = last_work_of(batch, stage);
    const sheet::Pin* start = facts.recorded(s, false);
    if (!day || start == nullptr) continue;
    for (const StageId next : protocol.stages.ids()) {
      if (!language::takes_from(protocol.stages[next], s)) continue;
      if (const auto* begun = facts.recorded(next, false)) day = std::min(*day, begun->day);
    }
    const sheet::Pin end{s, true, std::max(*day, start->day), true, start->span, false, true};
    std::erase_if(facts.pins,
                  [&](const auto& pin) { return !pin.recorded && pin.stage == s && pin.end; });
    facts.pins.push_back(end);
  }
}

}  // namespace budwood::plan
