#include "results/outcomes.hpp"

#include <algorithm>
#include <cmath>

#include "plan/orders/order.hpp"
#include "results/noted.hpp"
#include "text/text.hpp"

namespace budwood::results {

namespace {

using language::StageId;

/// The stage from which alone the plants of a stage come; none when it is the first or a join.
StageId before(const language::Protocol& protocol, StageId stage) {
  const auto& takes = protocol.stages[stage].takes;
  return takes.size() == 1 ? takes.front() : StageId();
}

/// The outcomes of one batch.
class BatchOutcomes {
 public:
  BatchOutcomes(const plan::Plan& plan, std::uint32_t batch, const NotedBatch& noted,
                std::vector<LeftOut>& left_out)
      : plan_(plan),
        batch_(batch),
        noted_(noted),
        left_out_(left_out),
        row_(plan.row_of(plan.batches[batch])),
        protocol_(plan.protocol_of(plan.batches[batch])) {}

  void add_to(std::vector<Outcome>& out) {
    for (const StageId stage : protocol_.stages.ids()) {
      const auto found = noted_.stages.find(protocol_.stages[stage].name);
      if (found == noted_.stages.end()) continue;
      const bool by_trays = std::any_of(
          found->second.begin(), found->second.end(),
          [](const auto& one) { return !one.first.empty() && one.second.alive.has_value(); });
      for (const auto& [tray, noted] : found->second) {
        if (!noted.alive || tray.empty() == by_trays) continue;
        // Where one plant becomes several, as many come out of it as it yields: that is no share.
        if (row_.cells(stage).yield != sheet::no_cell) continue;
        if (auto outcome = outcome_of(stage, tray, noted)) out.push_back(std::move(*outcome));
      }
    }
  }

 private:
  std::optional<Outcome> outcome_of(StageId stage, const std::string& tray,
                                    const NotedCount& noted) {
    const book::Batch& facts = plan_.facts_of(plan_.batches[batch_]);
    if (facts.trial && !tray.empty() && facts.trial->own_tray(tray) == nullptr) {
      tell(stage, tray,
           "the lot gave no such tray to this arm. A trial must stay as it was drawn: put `trial` "
           "back as it was, or correct the tray.");
      return std::nullopt;
    }
    Outcome out;
    out.batch = batch_;
    out.stage = stage;
    out.tray = tray;
    out.counted = noted.day;
    if (const auto start = row_.known_day(row_.cells(stage).start)) out.began = *start;
    out.person = person_of(stage, tray);
    std::optional<double> of = noted.of ? noted.of : came_in(stage, tray);
    if (!of && tray.empty()) {
      of = row_.value(row_.cells(stage).plants);
      out.start_noted = false;
    }
    if (!of || !std::isfinite(*of)) {
      tell(stage, tray,
           "it was not noted how many plants there were. Note it with the count: `61 of 80`.");
      return std::nullopt;
    }
    out.plants = {std::llround(*noted.alive), std::llround(*of)};
    if (out.plants.good > out.plants.of) {
      tell(stage, tray,
           std::to_string(out.plants.good) + " were counted where " +
               std::to_string(out.plants.of) + " can have been, so there is no share to tell.");
      return std::nullopt;
    }
    if (out.plants.of == 0) return std::nullopt;
    return out;
  }

  /// How many plants came into a stage, as far as it was noted: with the work of the stage, or with
  /// a count or the work of the one before, as long as nothing is lost or multiplied on the way.
  std::optional<double> came_in(StageId stage, const std::string& tray) const {
    for (StageId at = stage; at.known(); at = before(protocol_, at)) {
      const NotedCount* noted = noted_.find(protocol_.stages[at].name, tray);
      if (noted != nullptr && at != stage && noted->alive && !noted->of) return noted->alive;
      if (noted != nullptr && noted->worked) return noted->worked;
      const StageId previous = before(protocol_, at);
      if (!previous.known()) break;
      const sheet::StageCells& cells = row_.cells(previous);
      const NotedCount* counted = noted_.find(protocol_.stages[previous].name, tray);
      const bool counts = counted != nullptr && counted->alive && !counted->of;
      if (!counts && (cells.loss != sheet::no_cell || cells.yield != sheet::no_cell ||
                      cells.kept != sheet::no_cell)) {
        break;
      }
    }
    return std::nullopt;
  }

  std::string person_of(StageId stage, const std::string& tray) const {
    // Who pricked out matters to the stage after it as long as nothing was done there.
    for (StageId at = stage; at.known(); at = before(protocol_, at)) {
      const auto of_stage = noted_.people.find(protocol_.stages[at].name);
      if (of_stage == noted_.people.end()) continue;
      auto found = of_stage->second.find(tray);
      if (found == of_stage->second.end()) found = of_stage->second.find("");
      if (found == of_stage->second.end() || found->second.empty()) continue;
      return text::list_words(found->second, "and");
    }
    return "";
  }

  void tell(StageId stage, const std::string& tray, const std::string& what) {
    const std::string place = protocol_.stages[stage].name + (tray.empty() ? "" : ", tray " + tray);
    left_out_.push_back({plan_.facts_of(plan_.batches[batch_]).id.value, place + ": " + what});
  }

  const plan::Plan& plan_;
  std::uint32_t batch_;
  const NotedBatch& noted_;
  std::vector<LeftOut>& left_out_;
  sheet::Row row_;
  const language::Protocol& protocol_;
};

/// What the protocol has for each order that somebody timed, by its id.
std::unordered_map<std::string, double> planned_times(
    const plan::Plan& plan, const std::unordered_map<std::string, NotedBatch>& noted) {
  std::unordered_map<std::string, double> out;
  for (const auto& [batch, of_batch] : noted) {
    for (const record::Entry* entry : of_batch.timed) {
      out[record::whole_place(*entry)] = std::nan("");
    }
  }
  if (out.empty()) return out;
  for (const plan::WorkOrder& order : plan.orders) {
    if (!order.done()) continue;
    const auto found = out.find(plan::order_id(plan, order));
    if (found == out.end()) continue;
    const plan::OrderDetail detail = plan::describe(plan, order);
    if (detail.plants > 0) found->second = detail.person_seconds / detail.plants;
  }
  return out;
}

/// "grafting/2/1": the place of the work in its stage, from 0.
std::optional<std::size_t> work_of(const std::string& place) {
  const std::size_t slash = place.find('/');
  if (slash == std::string::npos) return std::nullopt;
  const std::size_t number = std::strtoull(place.c_str() + slash + 1, nullptr, 10);
  return number == 0 ? std::nullopt : std::optional(number - 1);
}

}  // namespace

std::vector<Outcome> outcomes_of(const plan::Plan& plan, std::vector<LeftOut>& left_out) {
  const NotedRecord record = noted_in(*plan.book);
  const auto& noted = record.batches;
  left_out.insert(left_out.end(), record.unclear.begin(), record.unclear.end());
  std::vector<Outcome> out;
  for (std::uint32_t i = 0; i < plan.batches.size(); ++i) {
    const auto found = noted.find(plan.facts_of(plan.batches[i]).id.value);
    if (found == noted.end()) continue;
    BatchOutcomes(plan, i, found->second, left_out).add_to(out);
  }
  return out;
}

std::vector<TimedJob> timed_jobs(const plan::Plan& plan) {
  const NotedRecord record = noted_in(*plan.book);
  const auto& noted = record.batches;
  const auto planned = planned_times(plan, noted);
  std::vector<TimedJob> out;
  for (std::uint32_t i = 0; i < plan.batches.size(); ++i) {
    const auto found = noted.find(plan.facts_of(plan.batches[i]).id.value);
    if (found == noted.end()) continue;
    const language::Protocol& protocol = plan.protocol_of(plan.batches[i]);
    for (const record::Entry* entry : found->second.timed) {
      const StageId stage = protocol.stages.find(std::string(record::stage_of(*entry)));
      const auto work = work_of(entry->place);
      if (!stage.known() || !work || *work >= protocol.stages[stage].works.size()) continue;
      TimedJob job;
      job.batch = i;
      job.stage = stage;
      job.work = protocol.stages[stage].works[language::WorkId(*work)].title;
      job.person = entry->by;
      job.day = entry->day;
      job.plants = *entry->number;
      job.seconds = *entry->seconds;
      const double a_plant = planned.at(record::whole_place(*entry));
      if (std::isfinite(a_plant)) job.planned_seconds = a_plant * job.plants;
      out.push_back(std::move(job));
    }
  }
  return out;
}

std::vector<StageDays> stage_days(const plan::Plan& plan) {
  std::vector<StageDays> out;
  for (std::uint32_t i = 0; i < plan.batches.size(); ++i) {
    const book::Batch& facts = plan.facts_of(plan.batches[i]);
    const language::Protocol& protocol = plan.protocol_of(plan.batches[i]);
    const sheet::Row row = plan.row_of(plan.batches[i]);
    for (const book::Pin& began : facts.pins) {
      if (!began.recorded || began.side != book::Pin::Side::start) continue;
      const StageId stage = protocol.stages.find(began.stage);
      const auto over = std::find_if(facts.pins.begin(), facts.pins.end(), [&](const auto& pin) {
        return pin.recorded && pin.side == book::Pin::Side::end && pin.stage == began.stage;
      });
      if (!stage.known() || over == facts.pins.end() || over->day < began.day) continue;
      const sheet::StageCells& cells = row.cells(stage);
      out.push_back({i, stage, began.day, static_cast<double>(over->day - began.day),
                     row.value(cells.usual, std::nan("")), row.value(cells.shortest, std::nan("")),
                     row.value(cells.longest, std::nan(""))});
    }
  }
  return out;
}

}  // namespace budwood::results
