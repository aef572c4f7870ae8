/// Civil days, ISO weeks, working days, seasons, and sets of days.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "calendar/day_set.hpp"

namespace budwood::calendar {

/// What a calendar date is made of (proleptic Gregorian calendar).
struct Date {
  int year = 1970;
  unsigned month = 1;
  unsigned day = 1;
  friend bool operator==(const Date&, const Date&) = default;
};

/// The day of a date; nothing when there is no such date or its year is outside 1970 to 2199.
std::optional<Day> day_of(const Date& date);
Date date_of(Day day);

/// Strict ISO 8601 calendar date, "2027-03-14". Nothing when malformed or no such day.
std::optional<Day> parse_iso_date(std::string_view text);
std::string iso_date(Day day);

enum class Weekday : std::uint8_t {
  monday,
  tuesday,
  wednesday,
  thursday,
  friday,
  saturday,
  sunday
};
Weekday weekday(Day day);
/// "Mon" ... "Sun".
std::string_view short_name(Weekday weekday);
/// "Monday" ... "Sunday".
std::string_view long_name(Weekday weekday);
/// "Fri 2027-05-14".
std::string short_date(Day day);
/// "1 day", "4 days".
std::string days_text(int days);
/// "07:30", of minutes after midnight.
std::string clock_text(int minute);
/// By short or long English name, case ignored.
std::optional<Weekday> find_weekday(std::string_view name);

/// ISO 8601 week date. The week's year can differ from the calendar year.
struct IsoWeek {
  int year = 1970;
  unsigned week = 1;
  unsigned weekday = 1;  ///< 1 Monday to 7 Sunday
  friend bool operator==(const IsoWeek&, const IsoWeek&) = default;
};
IsoWeek iso_week(Day day);
/// "2027-W05".
std::string iso_week_text(Day day);

/// A day of any year, as in "15 May". 29 February stands for 28 February in common years.
struct YearDay {
  unsigned month = 1;
  unsigned day = 1;
  friend bool operator==(const YearDay&, const YearDay&) = default;
};
/// By English month name or its first three letters; nothing when there is no such day in any year.
std::optional<YearDay> year_day(unsigned day, std::string_view month_name);
std::string describe(const YearDay& day);  ///< "15 May"

/// The days from `first` to `last` of every year, both included; across New Year when `last` comes
/// before `first`. With `southern` both ends move by half a year (six months).
DaySet season(const YearDay& first, const YearDay& last, bool southern = false);

/// Which days people work.
class WorkingDays {
 public:
  /// Every day is a working day.
  WorkingDays();
  /// `weekdays` by Weekday index; `closed` are days on which nobody works all the same.
  WorkingDays(const std::vector<Weekday>& weekdays, const std::vector<Day>& closed);

  /// Nobody works from `first` to `last` either, both included.
  void close(Day first, Day last);
  /// Opens a day again, where the week has it.
  void reopen(Day day);

  const DaySet& days() const { return days_; }
  bool works(Day day) const { return days_.contains(day); }
  /// Why nobody works on that day: "a Sunday", "a closed day"; "" when people do.
  std::string reason_closed(Day day) const;

 private:
  DaySet days_;
  std::uint8_t weekdays_ = 0x7F;
};

}  // namespace budwood::calendar
