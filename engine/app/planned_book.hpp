#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/arguments.hpp"
#include "plan/plan.hpp"
#include "plan/trials/what_if.hpp"

namespace budwood::app {

/// A book read and planned, and everything there is to say about it. Stays where it is made: the
/// plan points into the book, and the diagnostics into the sources.
struct PlannedBook {
  explicit PlannedBook(const BookArguments& arguments);
  PlannedBook(const PlannedBook&) = delete;
  PlannedBook& operator=(const PlannedBook&) = delete;

  std::filesystem::path folder;
  text::Sources sources;
  text::Diagnostics diagnostics;
  /// Of these what the book says whatever is asked of it; `check` tells it in full.
  text::Diagnostics standing;
  std::optional<book::Book> book;  ///< nothing when there is no book to plan
  plan::Plan plan;
};

using Run = std::function<int(PlannedBook&)>;
/// What somebody asks for that a plan does not have, in words; "" when it has all.
using Missing = std::function<std::string(const plan::Plan&)>;

/// How every command over a plan begins: complains of arguments that do not go together (`misuse`,
/// "" when they do), reads and plans the book, complains of what it does not have, and runs. Gives
/// the status to leave with.
int run_on_book(const BookArguments& book, const std::string& misuse, const Missing& missing,
                const Run& run);
/// The same for a command that asks for nothing by name.
int run_on_book(const BookArguments& book, const std::string& misuse, const Run& run);
/// Prints what there is to say: errors, and what is new with this command; of the warnings and
/// notes that the book always has, how many. True when there are errors.
bool report_problems(const PlannedBook& planned);
/// How it ends: tells everything there is to say. `done` is false when its result could not be
/// written, or is a bad one.
int finish(const PlannedBook& planned, bool done);

/// A book planned anew with changes that are tried out. Stays where it is made.
struct ChangedPlan {
  ChangedPlan(plan::WhatIf tried, text::Diagnostics& diagnostics);
  ChangedPlan(const ChangedPlan&) = delete;
  ChangedPlan& operator=(const ChangedPlan&) = delete;

  plan::WhatIf what_if;
  plan::Plan plan;
};

/// Plans a book with changes, each written as for `plan::what_if`. Nothing when one of them is
/// wrong; then that has been printed.
std::unique_ptr<ChangedPlan> try_changes(PlannedBook& planned,
                                         const std::vector<std::string>& changes);

/// Adds the conflicts of a plan as errors; when a batch is named, only its own.
void report_conflicts(const plan::Plan& plan, const std::optional<std::string>& batch,
                      text::Diagnostics& diagnostics);

/// The same for some batches, each conflict once; for none of them all.
void report_conflicts_of(const plan::Plan& plan, const std::vector<std::string>& batches,
                         text::Diagnostics& diagnostics);

/// Adds the notes of a plan; when a batch is named, only its own.
void report_notes(const plan::Plan& plan, const std::optional<std::string>& batch,
                  text::Diagnostics& diagnostics);

}  // namespace budwood::app
