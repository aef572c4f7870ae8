#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "plan/plan.hpp"

namespace budwood::app {

/// A book read and planned, and everything there is to say about it. Stays where it is made: the
/// plan points into the book, and the diagnostics into the sources.
struct PlannedBook {
  explicit PlannedBook(const std::filesystem::path& folder);
  PlannedBook(const PlannedBook&) = delete;
  PlannedBook& operator=(const PlannedBook&) = delete;

  text::Sources sources;
  text::Diagnostics diagnostics;
  std::optional<book::Book> book;  ///< nothing when there is no book to plan
  plan::Plan plan;
};

/// Adds the conflicts of a plan as errors; when a batch is named, only its own.
void report_conflicts(const plan::Plan& plan, const std::optional<std::string>& batch,
                      text::Diagnostics& diagnostics);

/// Adds the notes of a plan; when a batch is named, only its own.
void report_notes(const plan::Plan& plan, const std::optional<std::string>& batch,
                  text::Diagnostics& diagnostics);

}  // namespace budwood::app
