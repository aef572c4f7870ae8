/// Private to this module.
#pragma once

#include "book/site/site.hpp"
#include "calendar/calendar.hpp"

namespace budwood::plan {

/// The crew that looks after the plants on a day on which the site does not work, by the name that
/// the site gives it; nothing on other days and when none has duty then.
const std::pair<const std::string, book::Crew>* crew_on_duty(const book::Site& site,
                                                             calendar::Day day);

/// Whether anybody is there who can set a dial: on working days, and when a crew has duty.
bool somebody_there(const book::Site& site, calendar::Day day);

}  // namespace budwood::plan
