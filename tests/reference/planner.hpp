/// The dates of a small book by trying days, from the written meaning of the statements alone: it
/// shares nothing with the program but the calendar.
#pragma once

#include <optional>
#include <vector>

#include "random_book.hpp"

namespace budwood::reference {

struct StagePlan {
  Day start = 0, end = 0;
  Day earliest = 0, latest = 0;
  int float_days = 0;
};

struct Plan {
  std::vector<StagePlan> stages;
  Day ready = 0;
};

/// Days from the date of a batch in which plans are looked for: two seasons come back.
inline constexpr Day farthest = 2 * 366 + 40;

/// Nothing when no plan keeps to everything.
std::optional<Plan> plan(const Book& book);

/// Whether dates keep to everything, lengths to nature's ranges. Stages that are over may have
/// started on days on which nobody worked.
bool keeps_to_all(const Book& book, const Plan& dates);

/// Whether a batch with `start:` could start on that day instead.
bool can_start_on(const Book& book, Day day);

/// The days on which a work of a stage is done, in the order of its turns; left out where none is.
std::vector<std::optional<Day>> work_days(const Book& book, const Stage& stage, std::size_t work,
                                          Day start, Day end);

}  // namespace budwood::reference
