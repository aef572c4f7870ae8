#include "plan/rooms/move_batch.hpp"

#include <cstdlib>

namespace budwood::plan {

Repair move_batch(const Plan& plan, std::size_t batch, calendar::Day by,
                  const std::string& because) {
  const BatchPlan& planned = plan.batches[batch];
  const book::Batch& facts = plan.facts_of(planned);
  const std::string& id = facts.id.value;
  const bool due = facts.ready.has_value();
  const char* date = due ? ".ready=" : facts.start ? ".start=" : ".not_before=";
  const calendar::Day now = due ? *plan.row_of(planned).ready() : first_start(plan, planned);
  return {(due ? "Have `" + id + "` ready " : "Move `" + id + "` ") +
              calendar::days_text(std::abs(by)) + (by < 0 ? " earlier" : " later") + because + ".",
          id + date + calendar::iso_date(now + by)};
}

}  // namespace budwood::plan
