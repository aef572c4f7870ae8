/// What was noted of each batch, put in order once. Private to this module.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "plan/plan.hpp"
#include "record/entry.hpp"
#include "results/outcomes.hpp"

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

/// Which batches an entry is about, by what it is called there: a batch, or all arms or cultivars
/// of one that is divided.
class AboutBatches {
 public:
  explicit AboutBatches(const book::Book& book);

  /// The one batch that an entry is about; of a trial the arm that has its tray. "" when it is
  /// about several.
  const std::string& one(const record::Entry& entry) const;
  /// All that it may be about, when it is about several.
  std::vector<std::string> several(const record::Entry& entry) const;

 private:
  std::unordered_map<std::string, std::vector<const book::Batch*>> divided_;
};

/// What was noted of some batch, and what no single one can be told of.
struct NotedRecord {
  std::unordered_map<std::string, NotedBatch> batches;
  std::vector<LeftOut> unclear;
};

/// By batch in the plan. One pass through the history, in the order of the days.
NotedRecord noted_in(const book::Book& book);

}  // namespace budwood::results
