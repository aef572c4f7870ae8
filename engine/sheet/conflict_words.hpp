#pragma once

#include <string>

#include "calendar/calendar.hpp"

namespace budwood::sheet {

/// "1 day", "4 days".
std::string days_text(int n);

/// "Sunday 2027-06-13".
std::string date_text(calendar::Day day);

}  // namespace budwood::sheet
