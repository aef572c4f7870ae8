#include <algorithm>

#include "language/check/stage_checker.hpp"
#include "language/one_line.hpp"

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

/// The statements that say how work is done and what it takes, in the order of the source. What
/// people must mind stands in Work::cautions and Work::notes.
std::vector<std::string> details(const syntax::Work& written) {
  std::vector<std::pair<std::uint32_t, std::string>> found;
  const auto add = [&](const text::Span& span, std::string words) {
    found.emplace_back(span.begin, std::move(words));
  };
  const auto whole = [&](const auto& statements) {
    for (const auto& one : statements) add(one.span, on_one_line(text::text_of(one.span)));
  };
  whole(written.rates);
  whole(written.durations);
  whole(written.setups);
  whole(written.people);
  for (const syntax::Use& use : written.uses) add(use.span, words_of(use));
  whole(written.closures);
  for (const syntax::Name& crew : written.crews) add(crew.span, "crew " + crew.text);
  for (const syntax::Text& tool : written.tools) add(tool.span, "tool \"" + tool.value + "\"");
  for (const syntax::Record& record : written.records) {
    const std::string unit = record.unit.text.empty() ? "" : " in " + record.unit.text;
    add(record.name.span, "record " + record.name.text + unit);
  }
  std::sort(found.begin(), found.end());
  std::vector<std::string> out;
  for (auto& [begin, words] : found) out.push_back(std::move(words));
  return out;
}

}  // namespace

void StageChecker::item(const syntax::Conditional& written) {
  Contingency contingency;
  contingency.written = written.written.value;
  contingency.day = stage_day(written.day);
  contingency.span = written.span;
  observed(written.condition, {"An `if`", "if", " on day 14", true}, contingency.observations);
  for (const syntax::Text& warning : written.warnings) {
    if (warning.value.empty()) {
      diagnostics_.error("no-action", warning.span, "This warning says nothing.",
                         "Say what people should know, or take it out.");
    }
    contingency.warnings.push_back(warning.value);
  }
  for (const syntax::Work& work : written.works) {
    if (work.timing.span.source != nullptr || work.timing.within) {
      const bool has_days = work.timing.span.source != nullptr;
      diagnostics_.error("misplaced", has_days ? work.timing.span : work.timing.within->span,
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
