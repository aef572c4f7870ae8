#include "plan/contingencies.hpp"

#include <algorithm>
#include <optional>

#include "plan/plan.hpp"
#include "plan/turns.hpp"

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
  return std::any_of(
      contingency.observations.begin(), contingency.observations.end(), [&](std::int32_t index) {
        const std::string& name = protocol.observations[static_cast<std::size_t>(index)].name;
        return std::any_of(work.records.begin(), work.records.end(),
                           [&](const language::Record& record) { return record.name == name; });
      });
}

/// The turn of a work that carries a condition.
struct Look {
  std::size_t work = 0;
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

std::optional<Look> carrier_of(const Contingency& contingency, const sheet::Sheet& sheet,
                               std::size_t row, std::size_t stage) {
  const language::Protocol& protocol = sheet.layout().protocol;
  const std::vector<language::Work>& works = protocol.stages[stage].works;
  const Day day = day_of(contingency, stage_span(sheet, row, stage));
  std::optional<Look> best;
  for (std::size_t w = 0; w < works.size(); ++w) {
    if (!looks(protocol, works[w], contingency)) continue;
    for (const Turn& turn : turns_of(sheet, row, stage, w)) {
      const Look look{w, turn};
      if (turn.date && (!best || knows_more(look, *best, day))) best = look;
    }
  }
  return best;
}

}  // namespace

std::vector<std::string> contingency_notes(const Plan& plan, const WorkOrder& order) {
  const BatchPlan& batch = plan.batches[order.batch];
  const language::Protocol& protocol = plan.protocol_of(batch);
  const language::Stage& stage = protocol.stages[order.stage];
  std::vector<std::string> out;
  // Of work that goes on over several days, the last day has seen all.
  if (order.part + 1 < order.parts) return out;
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  for (const Contingency& contingency : stage.contingencies) {
    if (!looks(protocol, stage.works[order.work], contingency)) continue;
    const auto carrier = carrier_of(contingency, sheet, batch.row, order.stage);
    if (!carrier || carrier->work != order.work || carrier->turn.occurrence != order.occurrence) {
      continue;
    }
    out.push_back(text_of(contingency, stage_span(sheet, batch.row, order.stage)));
  }
  return out;
}

std::vector<Note> unseen_contingencies(const Plan& plan, const BatchPlan& batch) {
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  const language::Protocol& protocol = plan.protocol_of(batch);
  std::vector<Note> out;
  for (std::size_t s = 0; s < protocol.stages.size(); ++s) {
    for (const Contingency& contingency : protocol.stages[s].contingencies) {
      if (carrier_of(contingency, sheet, batch.row, s)) continue;
      out.push_back({plan.facts_of(batch).id.value,
                     "In `" + protocol.stages[s].name +
                         "` nobody looks for this, so no work order says it: " +
                         text_of(contingency, stage_span(sheet, batch.row, s)),
                     contingency.span});
    }
  }
  return out;
}

}  // namespace budwood::plan
