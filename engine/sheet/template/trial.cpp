#include "sheet/template/trial.hpp"

#include <algorithm>
#include <cctype>

#include "sheet/columns/shown.hpp"
#include "sheet/dates/conflict_words.hpp"
#include "sheet/dates/dates.hpp"
#include "sheet/dates/followable.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/requirements.hpp"
#include "sheet/template/template.hpp"

namespace budwood::sheet {

namespace {

using language::Stage;

/// Sentences of which any one will do: "Let A. Or let B."
std::string alternatives(const std::vector<std::string>& sentences) {
  std::string out;
  for (const std::string& sentence : sentences) {
    if (out.empty()) {
      out = sentence;
    } else {
      out += " Or " +
             std::string(
                 1, static_cast<char>(std::tolower(static_cast<unsigned char>(sentence.front())))) +
             sentence.substr(1);
    }
  }
  return out;
}

constexpr double trial_plants = 100;

class Trial {
 public:
  Trial(const std::shared_ptr<const Template>& t, text::Diagnostics& diagnostics)
      : template_(t),
        t_(*t),
        diagnostics_(diagnostics),
        sheet_(t, stand_in_site()),
        row_(sheet_, 0) {
    sheet_.add(stand_in_batch(trial_plants));
    sheet_.evaluate();
  }

  void report() {
    const std::size_t before = diagnostics_.count(text::Severity::error);
    report_expectations();
    // What lies out of range is often why something else has no value.
    if (diagnostics_.count(text::Severity::error) == before) report_no_value();
    if (const auto& conflict = row_.conflict()) report_conflict(*conflict);
    if (diagnostics_.count(text::Severity::error) > before) return;
    for (std::size_t s = 0; s < t_.stages.size(); ++s) report_days(s);
    report_requirements(template_, diagnostics_);
    report_followability();
  }

 private:
  void report_no_value() {
    const auto origin = origin_of_no_value(row_);
    if (!origin || row_.conflict()) return;
    diagnostics_.error("no-value", t_.cell(*origin).span,
                       "With the usual inputs there is no value for " + describe(t_.cell(*origin)) +
                           ": it divides by zero, looks outside a table, or grows beyond all "
                           "bounds.",
                       "Check the numbers it is worked out from.");
  }

  void report_expectations() {
    for (const std::size_t i : unmet_expectations(row_)) {
      const Expectation& e = t_.expectations[i];
      diagnostics_.error("out-of-range", e.span,
                         e.message + " (with the usual inputs: " + shown(row_, e) + ").",
                         "Check the numbers in this line.");
    }
  }

  void report_conflict(const DateConflict& conflict) {
    text::Diagnostic d;
    d.code = "dates-contradict";
    d.span = t_.protocol.span;
    d.message = "The lengths and waits of `" + t_.protocol.name +
                "` contradict each other even when people work every day";
    d.message += conflict.misses > 0 ? "; they miss by " + days_text(conflict.misses) + "." : ".";
    std::vector<std::string> repairs;
    for (const DateConflict::Repair& one : conflict.repairs) repairs.push_back(one.text);
    d.advice = alternatives(repairs);
    if (d.advice.empty()) d.advice = "Change one of the lines below.";
    for (const DateConflict::Line& line : conflict.lines) {
      d.related.push_back({line.span, line.text});
    }
    diagnostics_.add(std::move(d));
  }

  void report_days(std::size_t s) {
    const Stage& stage = t_.protocol.stages[s];
    if (language::follows_site(stage)) return;
    for (const language::Work& work : stage.works) {
      if (work.spaces > 0) continue;  // its space is told of
      const std::string title = "\"" + work.title + "\"";
      if (work.picks > 0) {
        report_picking(s, work.timing.days.front(), title);
        continue;
      }
      for (const language::StageDay& day : work.timing.days) report_day(s, day, title);
      report_day(s, work.timing.from, title);
      report_last_day(s, work.timing.to);
    }
    for (const language::Space& space : stage.space) {
      if (!space.by_picking) report_day(s, {false, space.from, space.span}, "This space");
    }
    for (const language::Setting& setting : stage.settings) {
      report_day(s, setting.from, "This setting");
      report_last_day(s, setting.to);
    }
    for (const language::Mist& mist : stage.mists) {
      report_day(s, mist.from, "This mist");
      report_last_day(s, mist.to);
    }
    // A day after the usual length is what a condition is often for: it tells what to do then.
    for (const language::Contingency& one : stage.contingencies) {
      report_beyond(s, one.day, "This `if`");
    }
  }

  int last_day(CellId length) const { return 1 + last_offset(row_.days(length)); }

  std::string at_most(std::size_t s) const {
    return "`" + t_.protocol.stages[s].name + "` lasts " +
           days_text(last_day(t_.stages[s].longest)) + " at most";
  }

  /// Reports a day that never comes; true when it was one.
  bool report_beyond(std::size_t s, const language::StageDay& day, const std::string& what) {
    if (day.last || day.day <= last_day(t_.stages[s].longest)) return false;
    diagnostics_.error("outside-stage", day.span, what + " would never come: " + at_most(s) + ".",
                       "Move it into the stage, or to the stage that follows.");
    return true;
  }

  /// A day on which something begins.
  void report_day(std::size_t s, const language::StageDay& day, const std::string& what) {
    const int usual = last_day(t_.stages[s].usual);
    if (day.last || day.day <= usual) return;
    if (!report_beyond(s, day, what)) {
      diagnostics_.warning("outside-usual-stage", day.span,
                           what + " comes only when the stage lasts longer than the usual " +
                               days_text(usual) + ", so plans leave it out.",
                           "Move it forward, or count it from the last day.");
    }
  }

  /// A picking is done on the last day of a stage that is over before its day.
  void report_picking(std::size_t s, const language::StageDay& day, const std::string& what) {
    const int usual = last_day(t_.stages[s].usual);
    if (day.last || day.day <= usual || report_beyond(s, day, what)) return;
    diagnostics_.warning("outside-usual-stage", day.span,
                         what +
                             " is done on the last day, unless the stage lasts longer than the "
                             "usual " +
                             days_text(usual) + ".",
                         "Move it forward, or write `on last day`.");
  }

  /// A day up to which something goes on.
  void report_last_day(std::size_t s, const language::StageDay& day) {
    if (day.last || day.day <= last_day(t_.stages[s].longest)) return;
    diagnostics_.warning("outside-stage", day.span,
                         "Day " + std::to_string(day.day) + " never comes: " + at_most(s) + ".",
                         "Write `last day` when the end of the stage is meant.");
  }

  void report_followability() {
    const auto finding = check_followable(row_);
    if (!finding) return;
    text::Diagnostic d;
    d.severity = text::Severity::warning;
    d.code = "not-followable";
    d.span = t_.protocol.span;
    d.message =
        "`" + t_.protocol.name +
        "` cannot be followed in every case: nature can pick lengths after which some limit "
        "cannot be met, however the waits are chosen.";
    d.advice = alternatives(finding->repairs);
    if (d.advice.empty()) d.advice = "Narrow a range, or allow more waiting.";
    for (const DateConflict::Line& line : finding->lines) {
      d.related.push_back({line.span, line.text});
    }
    diagnostics_.add(std::move(d));
  }

  std::shared_ptr<const Template> template_;
  const Template& t_;
  text::Diagnostics& diagnostics_;
  Sheet sheet_;
  const Row row_;
};

}  // namespace

void try_out(const std::shared_ptr<const Template>& t, text::Diagnostics& diagnostics) {
  Trial(t, diagnostics).report();
}

}  // namespace budwood::sheet
