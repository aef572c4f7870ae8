#pragma once

#include <string>
#include <vector>

#include "plan/plan.hpp"

/// What of a batch is picked when, and sorted into what.
namespace budwood::plan {

/// Plants of a grade; none: in no grade, and thrown out.
struct GradeAmount {
  const language::Grade* grade = nullptr;
  double plants = 0;
};

/// What is picked, or sorted, of a stage on a day.
struct Portion {
  language::StageId stage;
  int number = 1;  ///< from 1; 1 of plants that are only sorted
  calendar::Day date = 0;
  double plants = 0;
  bool counted = false;  ///< it was noted how many
  std::vector<GradeAmount> grades;
};

/// By day; none of batches that have no dates.
std::vector<Portion> portions_of(const Plan& plan, const BatchPlan& batch);

/// What comes through a stage and is in none of its pickings.
double left_unpicked(const sheet::Row& row, language::StageId stage);

/// "first 672; second 101, sold; weak 42, thrown out; 25 in no grade": what the plants of an order
/// are sorted into; "" where nothing is sorted.
std::string graded_text(const std::vector<GradeAmount>& grades);
std::string graded_note(const Plan& plan, const WorkOrder& order);

}  // namespace budwood::plan
