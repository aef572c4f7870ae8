#include "office/calendar/calendar_file.hpp"

#include <libical/ical.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <memory>

#include "office/calendar/calendar.hpp"
#include "office/calendar/event_texts.hpp"
#include "office/calendar/identity.hpp"

namespace budwood::office {

namespace {

constexpr const char* product = "-//Budwood//budwood plan//EN";
constexpr const char* name_property = "X-WR-CALNAME";  // what calendar programs show as its name

using Component = std::unique_ptr<icalcomponent, decltype(&icalcomponent_free)>;

icaltimetype date_of(calendar::Day day) {
  const calendar::Date date = calendar::date_of(day);
  icaltimetype out = icaltime_null_date();
  out.year = date.year;
  out.month = static_cast<int>(date.month);
  out.day = static_cast<int>(date.day);
  return out;
}

/// There is no clock, and the same input gives the same bytes; but of two versions of an event the
/// later one has to have the later stamp (RFC 5546, section 2.1.5). So it counts the revisions, one
/// a second, from the first moment of 2020 on.
icaltimetype stamp_of(int sequence) {
  constexpr std::time_t first_moment_of_2020 = 1577836800;
  return icaltime_from_timet_with_zone(first_moment_of_2020 + sequence, 0,
                                       icaltimezone_get_utc_timezone());
}

icalcomponent* alarm_of(const Event& event, double seconds) {
  icaltriggertype trigger{};
  trigger.time = icaltime_null_time();
  trigger.duration = icaldurationtype_from_int(-static_cast<int>(std::lround(seconds)));
  return icalcomponent_vanew(ICAL_VALARM_COMPONENT, icalproperty_new_action(ICAL_ACTION_DISPLAY),
                             icalproperty_new_trigger(trigger),
                             icalproperty_new_description(event.summary.c_str()),
                             static_cast<void*>(nullptr));
}

icalcomponent* component_of(const Event& event, std::optional<double> alarm) {
  icalcomponent* out = icalcomponent_new_vevent();
  const auto add = [out](icalproperty* property) { icalcomponent_add_property(out, property); };
  add(icalproperty_new_uid(event.uid.c_str()));
  add(icalproperty_new_dtstamp(stamp_of(event.sequence)));
  add(icalproperty_new_sequence(event.sequence));
  add(icalproperty_new_dtstart(date_of(event.date)));
  add(icalproperty_new_dtend(date_of(event.date + 1)));
  add(icalproperty_new_summary(event.summary.c_str()));
  if (!event.location.empty()) add(icalproperty_new_location(event.location.c_str()));
  if (!event.description.empty()) add(icalproperty_new_description(event.description.c_str()));
  if (!event.category.empty()) add(icalproperty_new_categories(event.category.c_str()));
  add(icalproperty_new_status(event.cancelled ? ICAL_STATUS_CANCELLED : ICAL_STATUS_CONFIRMED));
  // Work of a day leaves people free for appointments.
  add(icalproperty_new_transp(ICAL_TRANSP_TRANSPARENT));
  if (alarm && !event.cancelled) icalcomponent_add_component(out, alarm_of(event, *alarm));
  return out;
}

std::string text_or_none(const char* text) {
  return text == nullptr ? std::string() : calendar_text_of(text);
}

std::string category_of(icalcomponent* component) {
  icalproperty* property = icalcomponent_get_first_property(component, ICAL_CATEGORIES_PROPERTY);
  return property == nullptr ? "" : text_or_none(icalproperty_get_categories(property));
}

/// The day of an event; nothing when it has none that the calendar of the engine knows.
std::optional<calendar::Day> day_of(icalcomponent* component) {
  const icaltimetype start = icalcomponent_get_dtstart(component);
  if (icaltime_is_null_time(start) != 0 || start.month < 1 || start.day < 1) return std::nullopt;
  return calendar::day_of(
      {start.year, static_cast<unsigned>(start.month), static_cast<unsigned>(start.day)});
}

std::optional<Event> read_event(icalcomponent* component) {
  const std::optional<calendar::Day> day = day_of(component);
  const char* uid = icalcomponent_get_uid(component);
  if (!day || uid == nullptr || *uid == '\0') return std::nullopt;
  Event out;
  out.uid = text_or_none(uid);
  out.date = *day;
  out.summary = text_or_none(icalcomponent_get_summary(component));
  out.location = text_or_none(icalcomponent_get_location(component));
  out.description = text_or_none(icalcomponent_get_description(component));
  out.category = category_of(component);
  out.cancelled = icalcomponent_get_status(component) == ICAL_STATUS_CANCELLED;
  out.sequence = std::max(0, icalcomponent_get_sequence(component));
  return out;
}

/// Follows how deep components stand in each other, line by line.
class Nesting {
 public:
  /// One line of the file; `folded` when it goes on with the one before.
  void add(std::string_view line, bool folded) {
    if (!folded) close();
    for (const char c : line.substr(folded ? 1 : 0)) {
      if (name_.size() == longest_name) break;
      if (c != '\r') name_ += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    }
  }
  /// What was added last is whole.
  int close() {
    const std::string property = name_.substr(0, name_.find_first_of(":;"));
    if (property == "BEGIN") ++depth_;
    if (property == "END") depth_ = std::max(0, depth_ - 1);
    name_.clear();
    return deepest_ = std::max(deepest_, depth_);
  }
  int deepest() const { return deepest_; }

 private:
  static constexpr std::size_t longest_name = 6;  ///< "BEGIN:"
  std::string name_;
  int depth_ = 0, deepest_ = 0;
};

/// Lines of a calendar are folded at 75 octets (RFC 5545, section 3.1), and ours hold the work of a
/// day at most. The library needs time that grows with the square of what is on one line, and stack
/// that grows with how deep components stand in each other: in ours an alarm is the third.
bool has_readable_lines(std::string_view text) {
  constexpr std::size_t longest_line = 1000;
  constexpr std::size_t longest_content = 1U << 20U;  // a line with what was folded
  constexpr int deepest = 10;
  std::size_t content = 0;
  Nesting nesting;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const bool folded = text.front() == ' ' || text.front() == '\t';
    content = (folded ? content : 0) + end;
    nesting.add(text.substr(0, end), folded);
    if (end > longest_line || content > longest_content || nesting.deepest() > deepest) {
      return false;
    }
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return nesting.close() <= deepest;
}

/// Whether a calendar says that it is Budwood's for the site.
bool belongs_to(icalcomponent* calendar, const std::string& site) {
  icalproperty* by = icalcomponent_get_first_property(calendar, ICAL_PRODID_PROPERTY);
  icalproperty* uid = icalcomponent_get_first_property(calendar, ICAL_UID_PROPERTY);
  if (by == nullptr || uid == nullptr) return false;
  const char* product_text = icalproperty_get_prodid(by);
  const char* uid_text = icalproperty_get_uid(uid);
  return product_text != nullptr && uid_text != nullptr && std::string(product) == product_text &&
         Identity(site).calendar() == uid_text;
}

}  // namespace

std::string calendar_file(const std::string& site, const std::vector<Event>& events,
                          std::optional<double> alarm) {
  const Component calendar(icalcomponent_new(ICAL_VCALENDAR_COMPONENT), &icalcomponent_free);
  const auto add = [&](icalproperty* property) {
    icalcomponent_add_property(calendar.get(), property);
  };
  add(icalproperty_new_version("2.0"));
  add(icalproperty_new_prodid(product));
  add(icalproperty_new_uid(Identity(site).calendar().c_str()));
  icalproperty* name = icalproperty_new_x(calendar_text_of(site).c_str());
  icalproperty_set_x_name(name, name_property);
  add(name);
  for (const Event& event : events) {
    icalcomponent_add_component(calendar.get(), component_of(event, alarm));
  }
  const std::unique_ptr<char, decltype(&std::free)> text(
      icalcomponent_as_ical_string_r(calendar.get()), &std::free);
  return text == nullptr ? std::string() : std::string(text.get());
}

std::optional<Events> read_calendar(const std::string& text, const std::string& site) {
  if (!has_readable_lines(text)) return std::nullopt;
  icalerror_set_errors_are_fatal(0);  // a broken file is no reason to stop
  const Component calendar(icalparser_parse_string(text.c_str()), &icalcomponent_free);
  if (calendar == nullptr || icalcomponent_isa(calendar.get()) != ICAL_VCALENDAR_COMPONENT ||
      !belongs_to(calendar.get(), site)) {
    return std::nullopt;
  }
  Events out;
  for (icalcomponent* one =
           icalcomponent_get_first_component(calendar.get(), ICAL_VEVENT_COMPONENT);
       one != nullptr;
       one = icalcomponent_get_next_component(calendar.get(), ICAL_VEVENT_COMPONENT)) {
    std::optional<Event> event = read_event(one);
    if (!event) continue;
    const auto known = out.find(event->uid);
    // Of two versions of an event the later one counts.
    if (known != out.end() && known->second.sequence >= event->sequence) continue;
    out.insert_or_assign(event->uid, std::move(*event));
  }
  return out;
}

}  // namespace budwood::office
