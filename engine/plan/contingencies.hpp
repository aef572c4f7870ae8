#pragma once

#include <string>
#include <vector>

#include "plan/order.hpp"

namespace budwood::plan {

struct BatchPlan;
struct Note;

/// What an order tells people to do when they find what its stage asks for with `if`: one text for
/// each condition whose last look on its day or before, else its first look after it, the order is.
std::vector<std::string> contingency_notes(const Plan& plan, const WorkOrder& order);

/// Conditions of a batch that no order looks at, so that no order can carry them.
std::vector<Note> unseen_contingencies(const Plan& plan, const BatchPlan& batch);

}  // namespace budwood::plan
