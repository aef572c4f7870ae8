#include <algorithm>

#include "language/check/stage_checker.hpp"
#include "language/one_line.hpp"
#include "language/tree/canonical.hpp"

/// What to do when something is seen on a day; and rules that are knowingly not kept.
namespace budwood::language {

namespace {

/// `use 2 mL sealing_wax each`, with the name that the supply has now: it may have been renamed.
std::string words_of(const syntax::Use& use) {
  text::Span before = use.span;
  before.end = use.supply.span.begin;
  text::Span after = use.span;
  after.begin = use.supply.span.end;
  return on_one_line(std::string(text::text_of(before)) + use.supply.text +
                     std::string(text::text_of(after)));
}

/// How a statement of work reads among what is to be done; "" where that stands elsewhere.
struct Detail {
  std::string operator()(const syntax::Use& use) const { return words_of(use); }
  std::string operator()(const syntax::Crew& crew) const { return "crew " + crew.name.text; }
  std::string operator()(const syntax::Tool& tool) const {
    return "tool \"" + tool.text.value + "\"";
  }
  std::string operator()(const syntax::Record& record) const {
    return "record " + record.name.text +
           (record.unit.text.empty() ? "" : " in " + record.unit.text);
  }
  std::string operator()(const syntax::Rate& rate) const { return as_written(rate.span); }
  std::string operator()(const syntax::Time& time) const { return as_written(time.span); }
  std::string operator()(const syntax::Setup& setup) const { return as_written(setup.span); }
  std::string operator()(const syntax::People& people) const { return as_written(people.span); }
  std::string operator()(const syntax::NoEntry& closure) const { return as_written(closure.span); }
  // Tags are no work; what people must mind stands in Work::cautions and Work::notes.
  std::string operator()(const syntax::Tag&) const { return ""; }
  std::string operator()(const syntax::Caution&) const { return ""; }
  std::string operator()(const syntax::Note&) const { return ""; }

 private:
  static std::string as_written(const text::Span& span) { return on_one_line(text::text_of(span)); }
};

/// The statements that say how work is done and what it takes, in the order of the source.
std::vector<std::string> details(const syntax::Work& written) {
  std::vector<std::string> out;
  for (const syntax::WorkItem& item : written.items) {
    std::string words = std::visit(Detail{}, item);
    if (!words.empty()) out.push_back(std::move(words));
  }
  return out;
}

}  // namespace

void StageChecker::item(const syntax::Conditional& written) {
  Contingency contingency;
  contingency.written = written.written.value;
  contingency.meaning = canonical_text(written.condition);
  contingency.day = stage_day(written.day);
  contingency.span = written.span;
  contingency.sights =
      observed(written.condition, {"An `if`", "if", " on day 14", true}, contingency.observations);
  for (const syntax::Text& warning : written.warnings) {
    if (warning.value.empty()) {
      diagnostics_.error("no-action", warning.span, "This warning says nothing.",
                         "Say what people should know, or take it out.");
    }
    contingency.warnings.push_back(warning.value);
  }
  for (const syntax::Work& work : written.works) {
    const bool has_days = work.timing.span.source != nullptr;
    if (has_days || work.timing.within || work.timing.hours.said()) {
      diagnostics_.error("misplaced",
                         has_days             ? work.timing.span
                         : work.timing.within ? work.timing.within->span
                                              : work.timing.hours.span,
                         "Work in an `if` is done when the condition is found to hold, so it has "
                         "no days of its own.",
                         "Take the days out; those of the `if` say when people look.");
    }
    contingency.actions.push_back({content(work), details(work)});
  }
  if (written.warnings.empty() && written.works.empty() && !written.has_unread) {
    diagnostics_.error("no-action", written.span,
                       "This `if` does not say what is to be done when it holds.",
                       "Add a `warn \"...\"` or a `do \"...\" { ... }`.");
  }
  stage().contingencies.push_back(std::move(contingency));
}

void StageChecker::resolve_contingencies() {
  for (const Contingency& one : stage().contingencies) {
    const std::string day = one.day.last ? "last day" : "day " + std::to_string(one.day.day);
    watched(one.observations, one.span, "whether this is so", "on " + day);
  }
}

void StageChecker::item(const syntax::Waive& written) {
  protocol_.waivers.push_back(waiver(written, index_));
}

Waiver waiver(const syntax::Waive& written, StageId stage) {
  return {written.set ? written.set->text : "", written.rule.text, written.reason.value, stage,
          written.span};
}

}  // namespace budwood::language
