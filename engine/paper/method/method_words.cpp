#include "paper/method/method_words.hpp"

#include "language/tree/written_formula.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::paper {

using language::FormulaId;
using language::no_formula;
using language::Protocol;
using language::StageDay;
using language::Timing;

namespace {

std::string day_text(const StageDay& day) {
  return day.last ? "the last day" : "day " + std::to_string(day.day);
}

std::string days_text(const std::vector<StageDay>& days) {
  std::vector<std::string> words;
  for (const StageDay& day : days) words.push_back(day_text(day));
  return "on " + text::list_words(words);
}

std::string repeat_text(const Timing& timing) {
  std::string out =
      timing.interval == 1 ? "every day" : "every " + calendar::days_text(timing.interval);
  if (timing.from.last || timing.from.day != 1) out += " from " + day_text(timing.from);
  if (!timing.to.last) out += " to " + day_text(timing.to);
  return out;
}

}  // namespace

std::string timing_text(const Timing& timing) {
  const bool any = timing.any_day;
  std::string out = any ? "on any day from " + day_text(timing.from) + " to " + day_text(timing.to)
                    : timing.kind == Timing::Kind::start ? "when the stage starts"
                    : timing.kind == Timing::Kind::days  ? days_text(timing.days)
                                                         : repeat_text(timing);
  if (const std::string hours = language::words(timing.hours); !hours.empty()) out += ", " + hours;
  if (timing.within > 0 && !any)
    out += ", or up to " + calendar::days_text(timing.within) + " later";
  return out;
}

std::string value_text(const Protocol& protocol, FormulaId formula, const units::Unit& unit) {
  const language::Node& node = protocol.node(formula);
  const std::string written = language::written_formula(protocol, formula);
  if (node.kind == language::Node::Kind::input) {
    const language::Input& input = protocol.inputs[language::InputId(node.target)];
    return value_text(protocol, input.usual, input.unit) + " (" + written + ")";
  }
  if (!written.empty() && !language::is_written_number(protocol, formula)) return written;
  return units::format(node.value, unit);
}

std::string written_text(const Protocol& protocol, FormulaId formula) {
  if (protocol.node(formula).kind == language::Node::Kind::input) {
    return value_text(protocol, formula, {});
  }
  return language::written_formula(protocol, formula);
}

namespace {

/// An amount or a time, and for how much it is.
std::string shared_text(const Protocol& protocol, std::string out, const language::Share& share) {
  if (share.each) return out + " for each plant";
  if (share.area) return out + " for each m2";
  const std::string of =
      share.supply.known() ? "\"" + report::shown_name(protocol.supplies[share.supply]) + "\"" : "";
  if (share.per == no_formula) return of.empty() ? out : out + " for each of " + of;
  out += (share.load ? " for every load of " : " for every ") + written_text(protocol, share.per);
  if (!of.empty()) return out + " of " + of;
  return out.ends_with("plants") ? out : out + " plants";
}

}  // namespace

std::string labour_text(const Protocol& protocol, const language::Work& work) {
  std::vector<std::string> out;
  const auto written = [&](FormulaId formula) { return written_text(protocol, formula); };
  if (work.rate != no_formula) out.push_back(written(work.rate) + " by one person");
  if (work.time != no_formula) {
    out.push_back(shared_text(protocol, written(work.time), work.time_share));
  }
  if (work.setup != no_formula) out.push_back(written(work.setup) + " to set up");
  if (work.people != no_formula) out.push_back(written(work.people) + " people");
  return report::joined(out, ", ");
}

std::string use_text(const Protocol& protocol, const language::Use& use) {
  const std::string written = language::written_formula(protocol, use.amount);
  // "35 mL" stands as it is written; "1" gets what is counted.
  const bool has_unit = language::written_unit(protocol, use.amount) != nullptr;
  std::string out =
      has_unit ? written : value_text(protocol, use.amount, protocol.supplies[use.supply].unit);
  return shared_text(protocol, std::move(out), use.share);
}

std::string input_text(const Protocol& protocol, const language::Input& input) {
  std::string out = value_text(protocol, input.usual, input.unit);
  if (input.lowest != no_formula && input.highest != no_formula) {
    out += ", from " + value_text(protocol, input.lowest, input.unit) + " to " +
           value_text(protocol, input.highest, input.unit);
  }
  return out;
}

}  // namespace budwood::paper
