#pragma once

#include <string>
#include <vector>

#include "plan/plan.hpp"

namespace budwood::paper {

/// Where a batch is on a day, for people who see only the sheet of that day.
struct PlaceInPlan {
  std::string now;  ///< "Rooting under mist, stage 2 of 5, day 4 of 16"
  struct Next {
    std::string what;  ///< "Growing on in plugs from", "ready on"
    calendar::Day day = 0;
  };
  std::vector<Next> next;  ///< one at least
};

PlaceInPlan place_in_plan(const plan::Plan& plan, const plan::BatchPlan& batch,
                          language::StageId stage, calendar::Day day);

}  // namespace budwood::paper
