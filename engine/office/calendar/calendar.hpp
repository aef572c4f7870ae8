/// Calendars. There is no memory beside them: the calendar that was written before is read,
/// what tells the same keeps its SEQUENCE, what does not gets one more, and what is gone is
/// marked as cancelled. Texts and dates are compared, not bytes, so that another program may
/// have written the file anew. A calendar only grows: what it holds is told as it stands now
/// even when the filter would leave it out, else an order that moved away would stay where it
/// was. An alarm is no part of what is told.
#pragma once

#include <cstdint>
#include <iosfwd>
#include <map>
#include <optional>
#include <string>

#include "office/calendar/event.hpp"
#include "report/formats/filter.hpp"

namespace budwood::office {

/// What one event of a calendar stands for.
enum class EventOf : std::uint8_t {
  order,  ///< a work order or a change of settings
  crew,   ///< all work of a crew on a day; all changes of settings on a day
};

struct CalendarView {
  EventOf event = EventOf::order;
  std::optional<double> alarm;  ///< seconds before the day begins; nothing: no alarm
};

/// Reads a calendar that `write_calendar` has written for this site. Nothing when it is none, also
/// when it is a calendar of another site or program.
std::optional<Events> read_calendar(const std::string& text, const std::string& site);

/// What a calendar tells now, and how many of its events pass the filter.
struct Calendar {
  std::string text;
  std::size_t found = 0;
};

/// Writes the orders that pass the filter as all-day events.
///
/// `before` is the calendar that was written last; without events everything is new. What it holds
/// is carried on: an order that the plan still has is told as it stands now, whether it passes the
/// filter or not; what the plan no longer has is marked as cancelled, and stays so. An event that
/// differs from before has a SEQUENCE of one more, one that does not differ keeps its own. With
/// events by crew the filter names no batch and no room, because a crew's day is told whole.
Calendar write_calendar(const plan::Plan& plan, const report::Filter& filter,
                        const CalendarView& view, const Events& before);

}  // namespace budwood::office
