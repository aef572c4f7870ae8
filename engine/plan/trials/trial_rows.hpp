#pragma once

#include "plan/trials/sensitivity.hpp"

namespace budwood::plan {

/// Works out a batch with one fact changed, many changes at a time.
class TrialRows {
 public:
  /// The sheet outlives this.
  TrialRows(const sheet::Row& row, sheet::CellId cell);

  struct Change {
    const Tried* tried = nullptr;
    double value = 0;
  };
  struct Outcome {
    double result = 0;
    std::string obstacle;  ///< why it cannot be carried out; "" when it can
  };
  std::vector<Outcome> evaluate(const std::vector<Change>& changes) const;
  /// As the batch stands.
  Outcome present() const;

 private:
  sheet::BatchFacts changed(const Change& change) const;
  std::string obstacle(const sheet::Row& row) const;

  sheet::Row row_;
  sheet::CellId cell_;
  std::vector<std::size_t> never_met_;  ///< requirements that fail for every batch
};

}  // namespace budwood::plan
