#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

/// Money that goes into one stage of a batch.
struct StageCost {
  language::StageId stage;
  double supplies = 0;  ///< used up; of what is reused, what is spoilt
  double labour = 0;
  double energy = 0;     ///< heat of its room, and lamps
  bool complete = true;  ///< all of it has a price
  double total() const { return supplies + labour + energy; }
};

struct BatchCost {
  std::uint32_t batch = 0;        ///< in Plan::batches
  std::vector<StageCost> stages;  ///< those that cost something, or would if they were priced
  double supplies = 0;
  double labour = 0;
  double energy = 0;
  bool complete = true;
  double a_plant = 0;  ///< the total for each finished plant ordered
  double total() const { return supplies + labour + energy; }
};

/// What batches cost in supplies that are used up, in people's time, and in the energy of rooms.
/// What has no price is left out of the sums and named.
struct Costs {
  std::vector<BatchCost> batches;  ///< that have dates, as in the plan
  double supplies = 0;
  double labour = 0;
  double energy = 0;
  std::vector<std::string> unpriced_energy;    ///< "electricity", "heat"
  std::vector<std::string> unpriced_supplies;  ///< by name
  std::vector<std::string> unpriced_crews;     ///< by name; "" is work without a crew
  bool complete() const {
    return unpriced_supplies.empty() && unpriced_crews.empty() && unpriced_energy.empty();
  }
  double total() const { return supplies + labour + energy; }
};
Costs batch_costs(const Plan& plan, const Needs& needs);

/// The money that goes into each batch that takes some of these needs, by batch in the plan.
std::map<std::uint32_t, double> cost_by_batch(const Plan& plan, const Needs& needs);

}  // namespace budwood::plan
