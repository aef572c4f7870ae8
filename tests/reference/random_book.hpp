/// Small books made up by a seed, as plain facts and as the text and values that the program reads.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "book/book.hpp"
#include "calendar/calendar.hpp"
#include "climate/climate.hpp"

namespace budwood::reference {

using calendar::Day;

struct Work {
  enum class When : std::uint8_t { days, last_day, every, between };
  When when = When::days;
  std::vector<int> days;  ///< from 1; of `every` and `between` the first one
  int to = 0;             ///< of `between`: its last day; 0: the last day of the stage
  int interval = 1;
  std::optional<int> within;
  bool crew = true;
  bool look = false;         ///< it only records
  std::optional<int> after;  ///< the work of its stage that it is never done before, from 0
  bool overnight = false;    ///< what comes after it is for the next day
};

/// After the end of another stage, by so many days where it says.
struct After {
  int stage = 0;
  std::optional<int> low, high;
};

struct Within {
  int stage = 0;
  bool of_end = false;
  int low = 0, high = 0;
};

struct YearSpan {
  calendar::YearDay first, last;
};

struct Stage {
  enum class Wait : std::uint8_t { to_working_day, stated, none };
  int part = 0;
  std::vector<int> takes;
  int shortest = 1, usual = 1, longest = 1;  ///< days, or degree-days
  bool by_heat = false;
  Wait wait = Wait::to_working_day;
  int longest_wait = 0;
  std::optional<After> after;
  std::optional<Within> within;
  std::optional<YearSpan> season;
  int room = 0;
  std::vector<Work> works;
};

struct Pin {
  int stage = 0;
  bool end = false;
  Day day = 0;
  bool recorded = false;
};

struct Book {
  enum class Date : std::uint8_t { ready, start, not_before };
  std::vector<Stage> stages;  ///< each after those that it takes plants from; the last is delivered
  int parts = 1;
  std::uint8_t weekdays = 0x1F;  ///< Monday is bit 0
  std::set<Day> closed;
  Date date = Date::ready;
  Day day = 0;
  std::vector<Pin> pins;
  std::optional<Day> today;  ///< what is not over goes on from there
};

/// Temperatures for 6 years around the days of all books, whole degrees.
const climate::DailySeries& temperatures();
/// The day by which so many degree-days above 5 degC have come together from a day on, a mean below
/// the base counting as the base; nothing when the temperatures never bring them.
std::optional<Day> end_of_heat(Day start, int degree_days);

Book random_book(std::uint32_t seed);
/// Books that are simpler by one thing each.
std::vector<Book> simpler(const Book& book);

std::string protocol_text(const Book& book);
/// All of a book, to read.
std::string describe(const Book& book);
/// Fills a book with all but its protocols.
void fill(const Book& facts, book::Book& book);

}  // namespace budwood::reference
