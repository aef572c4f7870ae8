#include "app/planned_book.hpp"

#include <algorithm>

#include "app/app.hpp"
#include "app/console.hpp"
#include "plan/needs/needs.hpp"

namespace budwood::app {

namespace {

/// The batch goes first: one line of a protocol can be in the way of many batches.
std::string of_batch(const std::string& batch, const std::string& message) {
  return batch.empty() ? message : "Batch `" + batch + "`: " + message;
}

}  // namespace

PlannedBook::PlannedBook(const BookArguments& arguments)
    : book(book::read_book(arguments.folder, sources, diagnostics)) {
  if (!book) return;
  if (const auto day = arguments.day()) book->today = day;
  plan = plan::make_plan(*book, diagnostics);
  plan::check_site_supplies(plan, diagnostics);
}

int run_on_book(const BookArguments& book, const std::string& misuse, const Missing& missing,
                const Run& run) {
  if (!misuse.empty()) {
    complain(misuse);
    return exit_misuse;
  }
  PlannedBook planned(book);
  if (!planned.book) return finish(planned, false);
  if (const std::string words = missing(planned.plan); !words.empty()) {
    report_problems(planned.diagnostics);
    complain(words);
    return exit_misuse;
  }
  return run(planned);
}

int run_on_book(const BookArguments& book, const std::string& misuse, const Run& run) {
  return run_on_book(
      book, misuse, [](const plan::Plan&) { return std::string(); }, run);
}

int finish(const PlannedBook& planned, bool done) {
  const bool faults = report_problems(planned.diagnostics);
  return done && !faults ? exit_fine : exit_faults;
}

ChangedPlan::ChangedPlan(plan::WhatIf tried, text::Diagnostics& diagnostics)
    : what_if(std::move(tried)), plan(plan::make_plan(what_if.book, diagnostics)) {}

std::unique_ptr<ChangedPlan> try_changes(PlannedBook& planned,
                                         const std::vector<std::string>& changes) {
  text::Diagnostics found;
  auto tried = plan::what_if(planned.plan, changes, planned.sources, found);
  if (!tried) {
    report_problems(found);
    return nullptr;
  }
  for (const text::Diagnostic& d : found.sorted()) planned.diagnostics.add(d);
  return std::make_unique<ChangedPlan>(std::move(*tried), planned.diagnostics);
}

void report_conflicts(const plan::Plan& plan, const std::optional<std::string>& batch,
                      text::Diagnostics& diagnostics) {
  std::vector<std::string> batches;
  if (batch) batches.push_back(*batch);
  report_conflicts_of(plan, batches, diagnostics);
}

void report_conflicts_of(const plan::Plan& plan, const std::vector<std::string>& batches,
                         text::Diagnostics& diagnostics) {
  for (const plan::Conflict& conflict : plan.conflicts) {
    const bool wanted = batches.empty() ||
                        std::any_of(batches.begin(), batches.end(), [&](const std::string& batch) {
                          return plan::concerns(conflict, batch);
                        });
    if (!wanted) continue;
    text::Diagnostic d;
    d.code = conflict.code;
    d.span = conflict.span;
    d.message = of_batch(conflict.batch, conflict.message);
    for (const sheet::DateConflict::Line& fact : conflict.facts) {
      d.related.push_back({fact.span, fact.text});
    }
    for (const std::string& repair : conflict.repairs) {
      d.related.push_back({{}, "This would help: " + repair});
    }
    diagnostics.add(std::move(d));
  }
}

void report_notes(const plan::Plan& plan, const std::optional<std::string>& batch,
                  text::Diagnostics& diagnostics) {
  for (const plan::Note& note : plan.notes) {
    if (batch && note.batch != *batch) continue;
    diagnostics.note("plan", note.span, of_batch(note.batch, note.message));
  }
}

}  // namespace budwood::app
