#include "office/calendar/calendar.hpp"

#include <algorithm>
#include <limits>
#include <set>

#include "office/calendar/calendar_file.hpp"
#include "office/calendar/day_events.hpp"

namespace budwood::office {

namespace {

int one_more(int sequence) {
  return sequence < std::numeric_limits<int>::max() ? sequence + 1 : sequence;
}

/// Numbers an event by what was told of it before.
void revise(Event& event, const Event& before) {
  event.sequence = event.tells_the_same(before) ? before.sequence : one_more(before.sequence);
}

/// What was told before and is no longer so.
std::vector<Event> cancelled(const Events& before, const std::vector<Event>& present) {
  std::set<std::string_view> known;
  for (const Event& event : present) known.insert(event.uid);
  std::vector<Event> out;
  for (const auto& [uid, event] : before) {
    if (known.contains(uid)) continue;
    out.push_back(event);
    out.back().cancelled = true;
    revise(out.back(), event);
  }
  return out;
}

}  // namespace

Calendar write_calendar(const plan::Plan& plan, const report::Filter& filter,
                        const CalendarView& view, const Events& before) {
  PresentEvents present = events_of(plan, filter, view.event, before);
  for (Event& event : present.events) {
    const auto earlier = before.find(event.uid);
    if (earlier != before.end()) revise(event, earlier->second);
  }
  std::vector<Event> gone = cancelled(before, present.events);
  std::vector<Event>& all = present.events;
  std::move(gone.begin(), gone.end(), std::back_inserter(all));
  std::stable_sort(all.begin(), all.end(),
                   [](const Event& a, const Event& b) { return a.date < b.date; });
  return {calendar_file(plan.book->site.name.value, all, view.alarm), present.found};
}

}  // namespace budwood::office
