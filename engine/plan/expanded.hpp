/// What batches come to, before it is part of the plan: batches are worked out on several cores,
/// and what each of them brings is put together in their order. Private to this module.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "plan/plan.hpp"

namespace budwood::plan {

struct Expanded {
  std::vector<WorkOrder> orders;
  std::vector<CarriedContingency> contingencies;
  std::vector<Conflict> conflicts;
  std::vector<Note> notes;
  std::vector<text::Diagnostic> diagnostics;
  /// Notes, by place, that are told once for a room: only the first in the plan stays.
  std::vector<std::pair<std::string, std::size_t>> once_a_room;
};

}  // namespace budwood::plan
