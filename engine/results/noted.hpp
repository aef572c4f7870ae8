/// What was noted of each batch, put in order once. Private to this module.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "plan/plan.hpp"
#include "record/entry.hpp"

namespace budwood::results {

/// A stage, or a tray of it: what was counted last, and how many plants work was done with.
struct NotedCount {
  std::optional<double> alive;
  std::optional<double> of;      ///< of a sample, or a tray, when it was said with the count
  std::optional<double> worked;  ///< plants of the work that was done, the most of any order
  calendar::Day day = 0;
};

/// The entries of one batch, by stage and tray.
struct NotedBatch {
  std::map<std::string, std::map<std::string, NotedCount>> stages;  ///< by stage, then by tray
  std::map<std::string, std::map<std::string, std::vector<std::string>>> people;  ///< the same way
  std::vector<const record::Entry*> timed;  ///< orders done, with plants and time

  const NotedCount* find(const std::string& stage, const std::string& tray) const;
};

/// By batch in the plan. One pass through the history, in the order of the days.
std::unordered_map<std::string, NotedBatch> noted_in(const book::Book& book);

}  // namespace budwood::results
