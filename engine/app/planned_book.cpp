#include "app/planned_book.hpp"

#include <algorithm>
#include <array>
#include <iostream>
#include <set>
#include <tuple>

#include "app/app.hpp"
#include "app/console.hpp"
#include "plan/needs/needs.hpp"

namespace budwood::app {

namespace {

/// The batch goes first: one line of a protocol can be in the way of many batches.
std::string of_batch(const std::string& batch, const std::string& message) {
  return batch.empty() ? message : "Batch `" + batch + "`: " + message;
}

/// That something has changed, or is told in two ways, is news until it is dealt with.
bool is_news(const std::string& code) {
  constexpr std::array codes{"edition-changed", "edition-open", "kept-in-batches",
                             "record-differs",  "small-trial",  "lost-uncounted",
                             "two-counts"};
  return std::any_of(codes.begin(), codes.end(), [&](const char* one) { return code == one; });
}

}  // namespace

PlannedBook::PlannedBook(const BookArguments& arguments)
    : folder(arguments.folder),
      book(book::read_book(arguments.folder, sources, diagnostics, arguments.library)) {
  if (!book) return;
  if (const auto day = arguments.day()) book->today = day;
  plan = plan::make_plan(*book, diagnostics);
  plan::check_site_supplies(plan, diagnostics);
  standing = diagnostics;
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
    report_problems(planned);
    complain(words);
    return exit_misuse;
  }
  return run(planned);
}

int run_on_book(const BookArguments& book, const std::string& misuse, const Run& run) {
  return run_on_book(
      book, misuse, [](const plan::Plan&) { return std::string(); }, run);
}

bool report_problems(const PlannedBook& planned) {
  const auto key = [](const text::Diagnostic& d) {
    return std::tuple(d.span.source, d.span.begin, d.code, d.message);
  };
  std::set<decltype(key({}))> standing;
  for (const text::Diagnostic& d : planned.standing.sorted()) standing.insert(key(d));
  text::Diagnostics told;
  std::size_t left_out = 0;
  for (const text::Diagnostic& d : planned.diagnostics.sorted()) {
    const bool news = is_news(d.code);
    if (!news && d.severity != text::Severity::error && standing.contains(key(d))) {
      ++left_out;
    } else {
      told.add(d);
    }
  }
  const bool faults = report_problems(told);
  if (left_out > 0) {
    std::cerr << left_out << (left_out == 1 ? " warning or note" : " warnings and notes")
              << " of the book: `budwood check " << text::printable(planned.folder.generic_string())
              << "` tells " << (left_out == 1 ? "it" : "them") << ".\n";
  }
  return faults;
}

int finish(const PlannedBook& planned, bool done) {
  const bool faults = report_problems(planned);
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
    for (const plan::Repair& repair : conflict.repairs) {
      d.related.push_back({{}, "This would help: " + repair.text});
    }
    diagnostics.add(std::move(d));
  }
}

void report_notes(const plan::Plan& plan, const std::optional<std::string>& batch,
                  text::Diagnostics& diagnostics) {
  std::set<std::string> over;  // history is told when it is asked for
  for (const plan::BatchPlan& one : plan.batches) {
    if (one.over) over.insert(plan.facts_of(one).id.value);
  }
  for (const plan::Note& note : plan.notes) {
    if (batch ? note.batch != *batch : over.contains(note.batch)) continue;
    diagnostics.note("plan", note.span, of_batch(note.batch, note.message));
  }
}

}  // namespace budwood::app
