#include "plan/orders/contingencies.hpp"

#include <algorithm>
#include <optional>
#include <tuple>

#include "plan/expanded.hpp"
#include "plan/orders/order.hpp"
#include "plan/orders/settings.hpp"
#include "plan/orders/turns.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;
using language::Contingency;

/// Text that is to be followed by another sentence.
std::string sentence(const std::string& text) {
  const bool closed =
      !text.empty() && std::string_view(".!?:").find(text.back()) != std::string_view::npos;
  return closed ? text : text + ".";
}

/// "\"Reseal the unions\" (time 20 min; crew grafting)".
std::string describe(const Contingency::Action& action) {
  std::string out = "\"" + action.work.title + "\"";
  for (std::size_t i = 0; i < action.details.size(); ++i) {
    out += (i == 0 ? " (" : "; ") + action.details[i];
  }
  return action.details.empty() ? out : out + ")";
}

/// What people must mind in any of the work, each once. What comes up again moves to the end, where
/// the label and the law have the last word.
std::vector<std::string> cautions_of(const Contingency& contingency) {
  std::vector<std::string> out;
  for (const Contingency::Action& action : contingency.actions) {
    for (const std::string& caution : action.work.cautions) {
      std::erase(out, caution);
      out.push_back(caution);
    }
  }
  return out;
}

/// What is to be done, after "If callus < 50 % on day 14 (2027-03-28):".
std::string instruction(const Contingency& contingency) {
  std::string out;
  for (const std::string& warning : contingency.warnings) out += " " + sentence(warning);
  for (std::size_t i = 0; i < contingency.actions.size(); ++i) {
    const bool after_warning = i == 0 && !contingency.warnings.empty();
    out += (i > 0 ? "; " : after_warning ? " Then: " : " ") + describe(contingency.actions[i]);
  }
  if (!contingency.actions.empty()) out += ".";
  for (const Contingency::Action& action : contingency.actions) {
    for (const std::string& note : action.work.notes) out += " " + sentence(note);
  }
  const std::vector<std::string> cautions = cautions_of(contingency);
  for (std::size_t i = 0; i < cautions.size(); ++i) {
    out += (i == 0 ? " Caution: " : " ") + sentence(cautions[i]);
  }
  return out;
}

Day day_of(const Contingency& contingency, const StageSpan& span) {
  return contingency.day.last ? span.last : span.first + contingency.day.day - 1;
}

std::string text_of(const Contingency& contingency, const StageSpan& span) {
  const Day day = day_of(contingency, span);
  const std::string which =
      contingency.day.last ? "the last day" : "day " + std::to_string(contingency.day.day);
  return "If " + contingency.written + " on " + which + " (" + calendar::iso_date(day) +
         (day > span.last ? ", should the stage last so long):" : "):") + instruction(contingency);
}

bool looks(const language::Protocol& protocol, const language::Work& work,
           const Contingency& contingency) {
  return std::any_of(contingency.observations.begin(), contingency.observations.end(),
                     [&](language::ObservationId id) {
                       const std::string& name = protocol.observations[id].name;
                       return std::any_of(
                           work.records.begin(), work.records.end(),
                           [&](const language::Record& record) { return record.name == name; });
                     });
}

/// The turn of a work that carries a condition.
struct Look {
  WorkId work;
  Turn turn;
};

/// Of two looks the one that knows more by `day`: later is better up to that day, sooner after it.
/// On one day it is the later work of the stage, when all has been seen.
bool knows_more(const Look& a, const Look& b, Day day) {
  const bool a_in_time = a.turn.due <= day;
  const bool b_in_time = b.turn.due <= day;
  if (a_in_time != b_in_time) return a_in_time;
  if (a.turn.due != b.turn.due) return (a.turn.due > b.turn.due) == a_in_time;
  return a.work > b.work;
}

/// All looks of a stage at what a contingency asks about, and who carries it. Turns are worked out
/// once a stage: a long one with daily looks has thousands of them.
class StageLooks {
 public:
  StageLooks(const sheet::Row& row, StageId stage)
      : protocol_(row.protocol()), works_(row.stage(stage).works) {
    for (const WorkId w : works_.ids()) {
      turns_.push_back(works_[w].records.empty() ? std::vector<Turn>() : turns_of(row, stage, w));
    }
  }

  std::optional<Look> carrier_of(const Contingency& contingency, const StageSpan& span) const {
    const Day day = day_of(contingency, span);
    std::optional<Look> best;
    for (const WorkId w : works_.ids()) {
      if (!looks(protocol_, works_[w], contingency)) continue;
      for (const Turn& turn : turns_[w]) {
        const Look look{w, turn};
        if (turn.date && (!best || knows_more(look, *best, day))) best = look;
      }
    }
    return best;
  }

 private:
  const language::Protocol& protocol_;
  const language::List<language::Work>& works_;
  language::List<std::vector<Turn>, language::Work>
      turns_;  ///< by work; none where nothing is recorded
};

/// Orders ascend by this; of spread work all parts are one.
auto key_of(const CarriedContingency& one) {
  return std::tuple(one.batch, one.stage, one.work, one.occurrence);
}

}  // namespace

void add_contingencies(const Plan& plan, std::uint32_t number, Expanded& out) {
  const BatchPlan& batch = plan.batches[number];
  const sheet::Row row = plan.row_of(batch);
  const auto first = static_cast<std::ptrdiff_t>(out.contingencies.size());
  for (const StageId s : row.protocol().stages.ids()) {
    const std::vector<Contingency>& contingencies = row.stage(s).contingencies;
    if (contingencies.empty()) continue;
    const StageSpan span = stage_span(row, s);
    const StageLooks looks(row, s);
    for (std::size_t i = 0; i < contingencies.size(); ++i) {
      if (const auto carrier = looks.carrier_of(contingencies[i], span)) {
        out.contingencies.push_back(
            {number, s, carrier->work, carrier->turn.occurrence, static_cast<std::uint32_t>(i)});
        continue;
      }
      // Of a stage that is over nobody asks any more.
      if (plan.book->today && row.end(s) <= *plan.book->today) continue;
      out.notes.push_back({plan.facts_of(batch).id.value,
                           "In `" + row.stage(s).name +
                               "` nobody looks for this, so no work order says it: " +
                               text_of(contingencies[i], span),
                           contingencies[i].span});
    }
  }
  std::stable_sort(out.contingencies.begin() + first, out.contingencies.end(),
                   [](const auto& a, const auto& b) { return key_of(a) < key_of(b); });
}

std::vector<std::string> contingency_notes(const Plan& plan, const WorkOrder& order) {
  std::vector<std::string> out;
  // Of work that goes on over several days, the last day has seen all.
  if (order.part + 1 < order.parts) return out;
  const CarriedContingency wanted{order.batch, order.stage, order.work, order.occurrence, 0};
  const auto [first, last] =
      std::equal_range(plan.contingencies.begin(), plan.contingencies.end(), wanted,
                       [](const auto& a, const auto& b) { return key_of(a) < key_of(b); });
  if (first == last) return out;
  const BatchPlan& batch = plan.batches[order.batch];
  const language::Stage& stage = plan.protocol_of(batch).stages[order.stage];
  const StageSpan span = stage_span(plan.row_of(batch), order.stage);
  for (auto one = first; one != last; ++one) {
    out.push_back(text_of(stage.contingencies[one->contingency], span));
  }
  return out;
}

}  // namespace budwood::plan
