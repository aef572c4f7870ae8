#include <algorithm>
#include <array>
#include <cctype>

#include "calendar/calendar.hpp"

namespace budwood::calendar {

namespace {

constexpr std::array<std::string_view, 12> month_names = {
    "January", "February", "March",     "April",   "May",      "June",
    "July",    "August",   "September", "October", "November", "December"};
/// February counts its leap day: a season may end on it.
constexpr std::array<unsigned, 12> most_days = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

bool names_month(std::string_view text, std::string_view month) {
  if (text.size() != month.size() && text.size() != 3) return false;
  return std::equal(text.begin(), text.end(), month.begin(), [](char a, char b) {
    return std::tolower(static_cast<unsigned char>(a)) ==
           std::tolower(static_cast<unsigned char>(b));
  });
}

/// Six months on; a day that the other month lacks becomes its last day.
YearDay half_year_on(const YearDay& day) {
  const unsigned month = (day.month + 5) % 12 + 1;
  return {month, std::min(day.day, most_days[month - 1])};
}

/// The day in one year; 29 February is 28 February in common years.
Day in_year(const YearDay& day, int year) {
  if (const std::optional<Day> found = day_of({year, day.month, day.day})) return *found;
  return day_of({year, 2, 28}).value_or(first_day);
}

}  // namespace

std::optional<YearDay> year_day(unsigned day, std::string_view month_name) {
  for (unsigned month = 1; month <= month_names.size(); ++month) {
    if (!names_month(month_name, month_names[month - 1])) continue;
    if (day < 1 || day > most_days[month - 1]) return std::nullopt;
    return YearDay{month, day};
  }
  return std::nullopt;
}

std::string describe(const YearDay& day) {
  if (day.month < 1 || day.month > month_names.size()) return "-";
  return std::to_string(day.day) + " " + std::string(month_names[day.month - 1]);
}

DaySet season(const YearDay& first, const YearDay& last, bool southern) {
  const YearDay from = southern ? half_year_on(first) : first;
  const YearDay to = southern ? half_year_on(last) : last;
  // Whether it runs across New Year is a matter of the days as written, not of one year's calendar.
  const bool across = to.month < from.month || (to.month == from.month && to.day < from.day);
  DaySet days;
  const int last_year = date_of(last_day).year;
  for (int year = date_of(first_day).year; year <= last_year; ++year) {
    if (across) {
      days.insert(in_year({1, 1}, year), in_year(to, year));
      days.insert(in_year(from, year), in_year({12, 31}, year));
    } else {
      days.insert(in_year(from, year), in_year(to, year));
    }
  }
  return days;
}

}  // namespace budwood::calendar
