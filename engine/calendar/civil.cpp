#include <array>
#include <cctype>
#include <chrono>

#include "calendar/calendar.hpp"
#include "calendar/digits.hpp"

namespace budwood::calendar {

namespace {

constexpr int first_year = 1970;
constexpr int last_year = 2199;

constexpr std::array<std::string_view, 7> weekday_names = {
    "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"};

bool same_ignoring_case(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) return false;
  for (std::size_t i = 0; i < a.size(); ++i) {
    if (std::tolower(static_cast<unsigned char>(a[i])) !=
        std::tolower(static_cast<unsigned char>(b[i]))) {
      return false;
    }
  }
  return true;
}

/// The value of `length` digits at `at`, or -1 when one of them is not a digit.
int digits_at(std::string_view text, std::size_t at, std::size_t length) {
  int value = 0;
  for (const char c : text.substr(at, length)) {
    if (c < '0' || c > '9') return -1;
    value = value * 10 + (c - '0');
  }
  return value;
}

}  // namespace

std::optional<Day> day_of(const Date& date) {
  if (date.year < first_year || date.year > last_year) return std::nullopt;
  if (date.month > 12 || date.day > 31) return std::nullopt;
  const std::chrono::year_month_day civil{
      std::chrono::year{date.year}, std::chrono::month{date.month}, std::chrono::day{date.day}};
  if (!civil.ok()) return std::nullopt;
  return static_cast<Day>(std::chrono::sys_days{civil}.time_since_epoch().count());
}

Date date_of(Day day) {
  const std::chrono::year_month_day civil{std::chrono::sys_days{std::chrono::days{day}}};
  return {static_cast<int>(civil.year()), static_cast<unsigned>(civil.month()),
          static_cast<unsigned>(civil.day())};
}

std::optional<Day> parse_iso_date(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  const int year = digits_at(text, 0, 4);
  const int month = digits_at(text, 5, 2);
  const int day = digits_at(text, 8, 2);
  if (year < 0 || month < 0 || day < 0) return std::nullopt;
  return day_of({year, static_cast<unsigned>(month), static_cast<unsigned>(day)});
}

std::string iso_date(Day day) {
  const Date date = date_of(day);
  std::string out;
  append_digits(out, date.year, 4);
  out += '-';
  append_digits(out, static_cast<int>(date.month), 2);
  out += '-';
  append_digits(out, static_cast<int>(date.day), 2);
  return out;
}

Weekday weekday(Day day) {
  // 1970-01-01 was a Thursday. The remainder of a negative day is negative.
  return static_cast<Weekday>((day % 7 + 7 + static_cast<int>(Weekday::thursday)) % 7);
}

std::string_view long_name(Weekday weekday) {
  return weekday_names[static_cast<std::size_t>(weekday)];
}

std::string_view short_name(Weekday weekday) {
  return long_name(weekday).substr(0, 3);
}

std::optional<Weekday> find_weekday(std::string_view name) {
  for (std::size_t i = 0; i < weekday_names.size(); ++i) {
    if (same_ignoring_case(name, weekday_names[i]) ||
        same_ignoring_case(name, weekday_names[i].substr(0, 3))) {
      return static_cast<Weekday>(i);
    }
  }
  return std::nullopt;
}

std::string days_text(int days) {
  return std::to_string(days) + (days == 1 ? " day" : " days");
}

std::string clock_text(int minute) {
  const auto two = [](int n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return two(minute / 60) + ":" + two(minute % 60);
}

std::string short_date(Day day) {
  return std::string(short_name(weekday(day))) + " " + iso_date(day);
}

}  // namespace budwood::calendar
