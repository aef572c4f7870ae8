#include "fuzzing.hpp"
#include "office/calendar/calendar.hpp"
#include "office/calendar/calendar_file.hpp"

/// Any bytes as a calendar that was written before: its events are written and read again as they
/// were, so that nothing that did not change is told as changed.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  const std::string site = "Small";
  const std::string input = fuzz::bytes_of(data, size);
  fuzz::accepted = false;
  // What is no text is refused before it comes here.
  if (text::find_invalid_utf8(input) != std::string::npos) return 0;
  const auto read = office::read_calendar(input, site);
  fuzz::accepted = read && !read->empty();
  if (!read) return 0;
  std::vector<office::Event> events;
  for (const auto& [uid, event] : *read) {
    fuzz::must(text::find_invalid_utf8(event.summary + event.location + event.description +
                                       event.category + uid) == std::string::npos,
               "an event that is no UTF-8");
    events.push_back(event);
  }
  const std::string written = office::calendar_file(site, events, 3600.0);
  const auto again = office::read_calendar(written, site);
  fuzz::must(again.has_value(), "a calendar that cannot be read again");
  fuzz::must(again->size() == read->size(), "a calendar with other events");
  for (const office::Event& event : events) {
    const auto same = again->find(event.uid);
    fuzz::must(same != again->end(), "an event that is gone");
    fuzz::must(same->second.tells_the_same(event), "an event that tells something else");
    fuzz::must(same->second.sequence == event.sequence, "an event that was counted on");
  }
  return 0;
}
