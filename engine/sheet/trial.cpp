#include "sheet/trial.hpp"

#include <algorithm>

#include "sheet/followable.hpp"
#include "sheet/sheet.hpp"

namespace budwood::sheet {

namespace {

using language::FormulaId;
using language::Node;
using language::Stage;

constexpr double trial_plants = 100;

/// What a formula depends on that only a batch knows: its size, or the calendar.
bool needs_batch(const Template& t, CellId id) {
  std::vector<CellId> open{id};
  std::vector<bool> seen(t.cells.size(), false);
  while (!open.empty()) {
    const CellId next = open.back();
    open.pop_back();
    if (seen[next]) continue;
    seen[next] = true;
    if (t.cell(next).kind == Cell::Kind::ordered) return true;
    open.insert(open.end(), t.cell(next).uses.begin(), t.cell(next).uses.end());
  }
  return false;
}

bool names_a_date(const language::Protocol& protocol, FormulaId id) {
  const Node& node = protocol.node(id);
  if (node.kind == Node::Kind::constant && node.type.kind == language::Type::Kind::date)
    return true;
  return std::any_of(std::begin(node.children), std::end(node.children), [&](FormulaId child) {
    return child != language::no_formula && names_a_date(protocol, child);
  });
}

class Trial {
 public:
  Trial(const std::shared_ptr<const Template>& t, text::Diagnostics& diagnostics)
      : t_(*t), diagnostics_(diagnostics), sheet_(t, Site{}) {
    BatchFacts batch;
    batch.plants = trial_plants;
    // Half way through the calendar, so that no plan leaves it.
    batch.ready = calendar::last_day / 2;
    sheet_.add(std::move(batch));
    sheet_.evaluate();
  }

  void report() {
    report_no_value();
    report_expectations();
    if (const auto& conflict = sheet_.conflict(0)) report_conflict(*conflict);
    if (diagnostics_.has_errors()) return;
    for (std::size_t s = 0; s < t_.stages.size(); ++s) report_days(s);
    report_requirements();
    report_followability();
  }

 private:
  double value(CellId cell) const { return sheet_.value(cell, 0); }

  void report_no_value() {
    const auto origin = origin_of_no_value(sheet_, 0);
    if (!origin || t_.cell(*origin).kind == Cell::Kind::date || sheet_.conflict(0)) return;
    diagnostics_.error(
        "no-value", t_.cell(*origin).span,
        "`" + t_.cell(*origin).name +
            "` has no value with the usual inputs: it divides by zero, looks outside "
            "a table, or grows beyond all bounds.",
        "Check the numbers it is worked out from.");
  }

  void report_expectations() {
    for (const std::size_t i : unmet_expectations(sheet_, 0)) {
      const Expectation& e = t_.expectations[i];
      const double got = value(e.cell);
      diagnostics_.error("out-of-range", e.span,
                         e.message + " (with the usual inputs: " + shown(e.cell, got) + ").",
                         "Check the numbers in this line.");
    }
  }

  std::string shown(CellId cell, double got) const {
    const language::Type& type = t_.cell(cell).type;
    if (type.kind == language::Type::Kind::temperature) {
      return units::format(got, *units::find_unit("degC"));
    }
    return units::format(got, units::usual_unit(type.dimension, got));
  }

  void report_conflict(const DateConflict& conflict) {
    text::Diagnostic d;
    d.code = "dates-contradict";
    d.span = t_.protocol.span;
    d.message = "The lengths and waits of `" + t_.protocol.name +
                "` contradict each other even when people work every day";
    d.message += conflict.misses > 0 ? "; they miss by " + std::to_string(conflict.misses) +
                                           (conflict.misses == 1 ? " day." : " days.")
                                     : ".";
    d.advice = "Change one of the lines below.";
    for (const DateConflict::Line& line : conflict.lines) {
      d.related.push_back({line.span, line.text});
    }
    diagnostics_.add(std::move(d));
  }

  void report_days(std::size_t s) {
    const Stage& stage = t_.protocol.stages[s];
    const int usual = static_cast<int>(value(t_.stages[s].usual));
    const int longest = static_cast<int>(value(t_.stages[s].longest));
    const auto check = [&](const language::StageDay& day, const std::string& what) {
      if (day.last || day.day <= std::max(1, usual)) return;
      const std::string length = "`" + stage.name + "` lasts " + std::to_string(longest) +
                                 (longest == 1 ? " day" : " days") + " at most";
      if (day.day > std::max(1, longest)) {
        diagnostics_.error("outside-stage", day.span, what + " would never come: " + length + ".",
                           "Move it into the stage, or to the stage that follows.");
      } else {
        diagnostics_.warning("outside-usual-stage", day.span,
                             what + " comes only when the stage lasts longer than the usual " +
                                 std::to_string(usual) + (usual == 1 ? " day" : " days") +
                                 ", so plans leave it out.",
                             "Move it forward, or count it from the last day.");
      }
    };
    for (const language::Work& work : stage.works) {
      for (const language::StageDay& day : work.timing.days) check(day, "\"" + work.title + "\"");
      check(work.timing.from, "\"" + work.title + "\"");
    }
    for (const language::Setting& setting : stage.settings) {
      check(setting.from, "This setting");
    }
    for (const language::Mist& mist : stage.mists) check(mist.from, "This mist");
  }

  void report_requirements() {
    for (std::size_t i = 0; i < t_.requirements.size(); ++i) {
      const language::Requirement& requirement = t_.protocol.requirements[i];
      const double met = value(t_.requirements[i]);
      if (std::isnan(met) || met != 0 || needs_batch(t_, t_.requirements[i]) ||
          names_a_date(t_.protocol, requirement.condition)) {
        continue;
      }
      text::Diagnostic d;
      d.severity = requirement.advice ? text::Severity::warning : text::Severity::error;
      d.code = requirement.advice ? "advice" : "requirement";
      d.span = requirement.span;
      d.message = requirement.message;
      d.advice = "This is not met with the usual inputs, whatever the batch.";
      diagnostics_.add(std::move(d));
    }
  }

  void report_followability() {
    const auto finding = check_followable(sheet_, 0);
    if (!finding) return;
    text::Diagnostic d;
    d.severity = text::Severity::warning;
    d.code = "not-followable";
    d.span = t_.protocol.span;
    d.message =
        "`" + t_.protocol.name +
        "` cannot be followed in every case: nature can pick lengths after which some limit "
        "cannot be met, however the waits are chosen.";
    d.advice = text::list_words(finding->repairs, "or");
    if (d.advice.empty()) d.advice = "Narrow a range, or allow more waiting.";
    for (const DateConflict::Line& line : finding->lines) {
      d.related.push_back({line.span, line.text});
    }
    diagnostics_.add(std::move(d));
  }

  const Template& t_;
  text::Diagnostics& diagnostics_;
  Sheet sheet_;
};

}  // namespace

void try_out(const std::shared_ptr<const Template>& t, text::Diagnostics& diagnostics) {
  Trial(t, diagnostics).report();
}

}  // namespace budwood::sheet
