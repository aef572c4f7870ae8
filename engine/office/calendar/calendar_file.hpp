/// Calendars as files. Private to this module.
///
/// DTSTAMP has to be there and has to grow; without a clock it is the first moment of 2020 and
/// a second for each SEQUENCE.
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
