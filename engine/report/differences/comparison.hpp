#pragma once

#include <iosfwd>

#include "plan/plan.hpp"
#include "plan/trials/what_if.hpp"
#include "report/differences/difference.hpp"

/// A book planned as it is and as it would be.
namespace budwood::report {

struct Comparison {
  const plan::Plan& before;
  const plan::Plan& after;
  const std::vector<plan::Change>& changes;  ///< that lead from one to the other
};

/// A batch in both plans; nullptr where it is not planned.
struct BatchPair {
  const plan::BatchPlan* before = nullptr;
  const plan::BatchPlan* after = nullptr;
  const std::string* id = nullptr;
};
/// The same in both plans.
const language::Protocol& protocol_of(const Comparison& both, const BatchPair& pair);

/// All batches, as in the book.
std::vector<BatchPair> pairs_of(const Comparison& both);

/// The changes themselves, about "what_if".
Differences change_rows(const Comparison& both);

/// "What if at Quarry Lane Nursery", and what is changed.
void write_changes_head(std::ostream& out, const Comparison& both, const Style& style);

}  // namespace budwood::report
