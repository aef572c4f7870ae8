#include "drawing/date_axis.hpp"

#include <doctest/doctest.h>

#include <sstream>

#include "../day.hpp"
#include "../words.hpp"

namespace budwood::drawing {

namespace {

using tests::day;
using tests::has;

/// The row of dates of these days as SVG.
std::string dates(const DayRange& days, double day_width) {
  std::ostringstream out;
  {
    Svg svg(out, 600, 20, "Dates", "");
    DateAxis(days, 0, day_width).draw_dates(svg, 0);
  }
  return out.str();
}

}  // namespace

TEST_CASE("weeks and months of days end with the days") {
  // From Wednesday to Friday of the week after; 1 May 2027 is a Saturday.
  const DayRange days{day("2027-04-28"), day("2027-05-07")};
  const std::vector<DayRange> weeks = weeks_of(days);
  REQUIRE(weeks.size() == 2);
  CHECK(weeks[0].first == days.first);
  CHECK(weeks[0].last == day("2027-05-02"));
  CHECK(weeks[1].first == day("2027-05-03"));
  CHECK(weeks[1].last == days.last);
  const std::vector<DayRange> months = months_of(days);
  REQUIRE(months.size() == 2);
  CHECK(months[0].last == day("2027-04-30"));
  CHECK(months[1].first == day("2027-05-01"));
  CHECK(months[1].last == days.last);
}

TEST_CASE("dates stand under Mondays where days are narrow, and none runs past the axis") {
  // Monday 3 May to Tuesday 18 May 2027.
  const std::string text = dates({day("2027-05-03"), day("2027-05-18")}, 6);
  CHECK(has(text, ">05-03<"));
  CHECK(has(text, ">05-10<"));
  CHECK_FALSE(has(text, ">05-17<"));
  // Of days that are narrower still every other Monday has room.
  const std::string narrow = dates({day("2027-05-03"), day("2027-06-20")}, 3);
  CHECK(has(narrow, ">05-03<"));
  CHECK_FALSE(has(narrow, ">05-10<"));
  CHECK(has(narrow, ">05-17<"));
}

TEST_CASE("wide days have their day of the month each") {
  const std::string text = dates({day("2027-04-30"), day("2027-05-02")}, 30);
  CHECK(has(text, ">30<"));
  CHECK(has(text, ">1<"));
  CHECK(has(text, ">2<"));
}

}  // namespace budwood::drawing
