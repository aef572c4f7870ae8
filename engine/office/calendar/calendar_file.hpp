/// Calendars as files. Private to this module.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "office/calendar/event.hpp"

namespace budwood::office {

/// The text of a calendar (RFC 5545), with an alarm so many seconds before each day begins.
std::string calendar_file(const std::string& site, const std::vector<Event>& events,
                          std::optional<double> alarm);

}  // namespace budwood::office
