/// The events of a plan. Private to this module.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "office/calendar/calendar.hpp"

namespace budwood::office {

/// The events that a plan has now.
struct PresentEvents {
  std::vector<Event> events;  ///< by date, then as in the plan; those that are wanted
  std::size_t found = 0;      ///< how many of them pass the filter
};

/// Events that pass the filter, and those that `before` holds.
PresentEvents events_of(const plan::Plan& plan, const report::Filter& filter, EventOf event,
                        const Events& before);

}  // namespace budwood::office
