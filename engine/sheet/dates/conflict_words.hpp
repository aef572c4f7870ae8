#pragma once

#include <string>

#include "calendar/calendar.hpp"

namespace budwood::sheet {

using calendar::days_text;

/// "Sunday 2027-06-13".
std::string date_text(calendar::Day day);

}  // namespace budwood::sheet
