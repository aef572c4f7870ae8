/// An `if` never changes dates. Its instruction travels with the order that looks. As long as
/// nobody knows whether its work will be done it is not counted; what then makes orders of it is in
/// `orders/expand_works.hpp`.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "plan/orders/order.hpp"

namespace budwood::plan {

/// An `if` of a stage and the order that tells people what to do then: the last look at what it
/// asks about on its day or before, else the first look after it.
struct CarriedContingency {
  std::uint32_t batch = 0;  ///< in Plan::batches
  language::StageId stage;
  language::WorkId work;
  std::uint16_t occurrence = 0;   ///< from 1
  std::uint32_t contingency = 0;  ///< in the stage
};

struct Expanded;

/// Works out for a batch that has dates who carries its contingencies, and adds them. A note tells
/// those that no order looks at. Batches come in ascending order, each once.
void add_contingencies(const Plan& plan, std::uint32_t batch, Expanded& out);

/// What an order tells people to do when they find what its stage asks for with `if`: one text for
/// each that it carries.
std::vector<std::string> contingency_notes(const Plan& plan, const WorkOrder& order);

}  // namespace budwood::plan
