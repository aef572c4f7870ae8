#include <doctest/doctest.h>

#include <algorithm>

#include "../day.hpp"
#include "book/book.hpp"
#include "book/site/site.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using budwood::tests::day;
using namespace budwood::book::test;
namespace calendar = budwood::calendar;
namespace climate = budwood::climate;
namespace text = budwood::text;

namespace {

/// Reads a book whose site.yaml has this after `climate:` in its second line; its weather.csv is
/// left out when it is a null pointer.
void read_with(const std::string& value, const char* weather, Outcome& outcome) {
  const Folder folder;
  folder.write("site.yaml", "site: N\nclimate: " + value + "\n");
  folder.write("batches.yaml", small_batches);
  if (weather != nullptr) folder.write("weather.csv", weather);
  text::Diagnostics diagnostics;
  outcome.book = read_book(folder.path(), outcome.sources, diagnostics);
  for (const text::Diagnostic& d : diagnostics.sorted()) outcome.problems.push_back(one_line(d));
}

void read_file(const std::string& weather, Outcome& outcome) {
  read_with("{file: weather.csv}", weather.c_str(), outcome);
}

std::string problems_of(const std::string& value, const char* weather = nullptr) {
  Outcome outcome;
  read_with(value, weather, outcome);
  REQUIRE(outcome.book);
  // Either there are temperatures or something is said about them; the site is read all the same.
  CHECK((outcome.book->site.climate == nullptr) == !outcome.problems.empty());
  CHECK(outcome.book->site.name.value == "N");
  return joined(outcome.problems);
}

std::string problems_of_file(const std::string& weather) {
  return problems_of("{file: weather.csv}", weather.c_str());
}

const char* const months =
    "{jan: [-1, 4], feb: [0, 6], mar: [2, 10], apr: [5, 14], may: [9, 19], jun: [12, 22], "
    "jul: [14, 24], aug: [13, 24], sep: [10, 19], oct: [7, 14], nov: [3, 8], dec: [0, 5]}";

std::string normals_without(const std::string& taken, const std::string& put = "") {
  std::string value = months;
  value.replace(value.find(taken), taken.size(), put);
  return "{normals: " + value + "}";
}

}  // namespace

TEST_CASE("a file of daily temperatures is read") {
  Outcome outcome;
  read_file("date,minimum,maximum\n2027-01-01,-1.5,4\n2027-01-02,0,6.25\n2027-01-03,+1,1\n",
            outcome);
  CHECK(joined(outcome.problems) == "");
  const Site& site = outcome.book->site;
  REQUIRE(site.climate);
  CHECK(site.climate->first_day() == day("2027-01-01"));
  CHECK(site.climate->last_day() == day("2027-01-03"));
  CHECK(site.climate->on(day("2027-01-01"))->minimum == doctest::Approx(271.65));
  CHECK(site.climate->on(day("2027-01-02"))->maximum == doctest::Approx(279.4));
  CHECK(text::describe(site.climate_span).ends_with("site.yaml:2:10"));
}

TEST_CASE("columns in any order, others beside them, quotes, blank lines, other line ends") {
  Outcome outcome;
  read_file(
      "\xEF\xBB\xBFmaximum,\"date\",note,minimum\r\n\r\n4,2027-12-31,\"wet, \"\"windy\"\"\nday\","
      "\"-1.5\"\r\n 6 , 2028-01-01,, 0\r\n",
      outcome);
  CHECK(joined(outcome.problems) == "");
  const auto& series = outcome.book->site.climate;
  REQUIRE(series);
  CHECK(series->temperatures().size() == 2);
  CHECK(series->on(day("2027-12-31"))->maximum == doctest::Approx(277.15));
  CHECK(series->on(day("2028-01-01"))->minimum == doctest::Approx(273.15));
}

TEST_CASE("the unit of a file") {
  const struct {
    const char* unit;
    const char* row;
  } same[] = {{"degC", "-40,10"}, {"degF", "-40,50"}, {"K", "233.15,283.15"}};
  for (const auto& [unit, row] : same) {
    CAPTURE(std::string(unit));
    Outcome outcome;
    const std::string weather = std::string("date,minimum,maximum\n2027-01-01,") + row + "\n";
    read_with(std::string("{file: weather.csv, unit: ") + unit + "}", weather.c_str(), outcome);
    CHECK(joined(outcome.problems) == "");
    REQUIRE(outcome.book->site.climate);
    const auto read = outcome.book->site.climate->on(day("2027-01-01"));
    CHECK(read->minimum == doctest::Approx(233.15));
    CHECK(read->maximum == doctest::Approx(283.15));
  }
}

TEST_CASE("normals hold for the whole calendar") {
  Outcome outcome;
  read_with("{normals: " + std::string(months) + "}", nullptr, outcome);
  CHECK(joined(outcome.problems) == "");
  const auto& series = outcome.book->site.climate;
  REQUIRE(series);
  CHECK(series->first_day() == calendar::first_day);
  CHECK(series->last_day() == calendar::last_day);
  // The middle of January is the noon of its 16th day.
  CHECK(series->on(day("2027-01-16"))->minimum == doctest::Approx(272.15));
  CHECK(series->on(day("2190-07-16"))->maximum == doctest::Approx(297.15));
  CHECK(text::describe(outcome.book->site.climate_span).ends_with("site.yaml:2:10"));
}

TEST_CASE("what was measured so far counts, and normals on all other days") {
  Outcome outcome;
  read_with("{file: weather.csv, normals: " + std::string(months) + "}",
            "date,minimum,maximum\n2027-01-16,-9,1\n2027-01-17,-8,2\n", outcome);
  CHECK(joined(outcome.problems) == "");
  const auto& series = outcome.book->site.climate;
  REQUIRE(series);
  CHECK(series->on(day("2027-01-16"))->minimum == doctest::Approx(264.15));
  CHECK(series->on(day("2027-01-17"))->maximum == doctest::Approx(275.15));
  CHECK(series->on(day("2028-01-16"))->minimum == doctest::Approx(272.15));
  CHECK(series->on(day("2190-07-16"))->maximum == doctest::Approx(297.15));
  // Neither may have mistakes.
  CHECK(problems_of("{file: weather.csv, normals: {}}", "date,minimum,maximum\n2027-01-16,-9,1\n")
            .find("missing-key") != std::string::npos);
}

TEST_CASE("normals in degF") {
  std::string value = "{unit: degF, normals: {";
  for (const char* month :
       {"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}) {
    value += std::string(month) + ": [32, 50], ";
  }
  Outcome outcome;
  read_with(value + "}}", nullptr, outcome);
  CHECK(joined(outcome.problems) == "");
  REQUIRE(outcome.book->site.climate);
  CHECK(outcome.book->site.climate->on(1000)->minimum == doctest::Approx(273.15));
  CHECK(outcome.book->site.climate->on(1000)->maximum == doctest::Approx(283.15));
}

TEST_CASE("a site without a climate has no temperatures") {
  Outcome outcome;
  read(small_site, small_batches, outcome);
  CHECK_FALSE(outcome.book->site.climate);
  CHECK(outcome.book->site.climate_span.source == nullptr);
}

TEST_CASE("every mistake in `climate` is named at its place") {
  const std::string month = " wants a minimum and a maximum without a unit, such as `[-1.5, 4]`.\n";
  const std::string unit = " error wrong-value `unit` wants degC, degF or K, such as `degC`.\n";
  const std::pair<std::string, std::string> mistakes[] = {
      {"",
       "site.yaml:2:1 error no-value `climate` has no value. Write one after the colon, or remove "
       "the line.\n"},
      {"weather.csv",
       "site.yaml:2:10 error wrong-kind Lines of the form `key: value` belong here. The keys are "
       "file, normals, unit, radiation, sunshine and sky.\n"},
      {"{}",
       "site.yaml:2:10 error missing-key `climate` gives no temperatures. Add `file: weather.csv`, "
       "or `normals` with a line for each month.\n"},
      {"{file: [a]}",
       "site.yaml:2:17 error wrong-value `file` wants the path of a file, such as "
       "`weather.csv`.\n"},
      {"{file: }",
       "site.yaml:2:11 error no-value `file` has no value. Write one after the colon, or remove "
       "the line.\n"},
      {"{file: weather.csv, unit: bar}", "site.yaml:2:36" + unit},
      {"{file: weather.csv, unit: degC_difference}", "site.yaml:2:36" + unit},
      {"{file: weather.csv, unit: [degC]}", "site.yaml:2:36" + unit},
      {normals_without("jan: [-1, 4], "),
       "site.yaml:2:20 error missing-key `jan` is missing from `normals`. Give each month its "
       "usual minimum and maximum, such as `jan: [-1.5, 4]`.\n"},
      {"{normals: {}, unit: degC}",
       "site.yaml:2:20 error missing-key `jan`, `feb`, `mar`, `apr`, `may`, `jun`, `jul`, `aug`, "
       "`sep`, `oct`, `nov` and `dec` are missing from `normals`. Give each month its usual "
       "minimum and maximum, such as `jan: [-1.5, 4]`.\n"},
      {"{normals: [1, 2]}",
       "site.yaml:2:20 error wrong-kind Lines of the form `key: value` belong here. The keys are "
       "jan, feb, mar, apr, may, jun, jul, aug, sep, oct, nov and dec.\n"},
      {normals_without("[-1, 4]", "4"), "site.yaml:2:26 error wrong-value `jan`" + month},
      {normals_without("[-1, 4]", "[4]"), "site.yaml:2:26 error wrong-value `jan`" + month},
      {normals_without("[-1, 4]", "[1, 2, 4]"), "site.yaml:2:26 error wrong-value `jan`" + month},
      {normals_without("[-1, 4]", "[1, 2, x]"), "site.yaml:2:26 error wrong-value `jan`" + month},
      {normals_without("[-1, 4]", "[cold, 4]"), "site.yaml:2:26 error wrong-value `jan`" + month},
      {normals_without("[-1, 4]", "[-1, 4 degC]"),
       "site.yaml:2:26 error wrong-value `jan`" + month},
      {normals_without("[-1, 4]", "[5, 4]"),
       "site.yaml:2:27 error out-of-range The minimum, 5 degC, is above the maximum, 4 degC. Write "
       "the lower one as the minimum.\n"},
      {normals_without("[-1, 4]", "[-1, 74]"),
       "site.yaml:2:31 error out-of-range No air is 74 degC: is the unit right? `unit` below "
       "`climate` in site.yaml can be degC, degF or K.\n"},
  };
  for (const auto& [value, problem] : mistakes) {
    CAPTURE(value);
    CHECK(problems_of(value) == problem);
  }
}

TEST_CASE("a month that is misspelt is named, and so is what it leaves out") {
  CHECK(problems_of(normals_without("jan:", "january:")) ==
        "site.yaml:2:20 error missing-key `jan` is missing from `normals`. Give each month its "
        "usual minimum and maximum, such as `jan: [-1.5, 4]`.\n"
        "site.yaml:2:21 error unknown-key `january` is not a key of `normals`. The keys are jan, "
        "feb, mar, apr, may, jun, jul, aug, sep, oct, nov and dec.\n");
}

TEST_CASE("a file that is missing") {
  const std::string problems = problems_of("{file: weather.csv}");
  CHECK(problems.starts_with("error no-file There is no file `"));
  CHECK(problems.ends_with("/weather.csv`. Check the path.\n"));
}

TEST_CASE("every mistake in the first line of a file is named at its place") {
  const std::string example = "The first line names the columns: `date,minimum,maximum`.\n";
  const std::pair<std::string, std::string> mistakes[] = {
      {"", "weather.csv:1:1 error empty-file There is nothing in this file. " + example},
      {"\n \n", "weather.csv:1:1 error empty-file There is nothing in this file. " + example},
      {"date,minimum,maximum\n",
       "weather.csv:1:1 error empty-file There are no days below this line. Add a row for each "
       "day, such as `2027-01-01,-1.5,4`.\n"},
      {"day,minimum,rain\n",
       "weather.csv:1:1 error missing-column There are no columns `date` and `maximum`. " +
           example},
      {"date,Minimum,maximun\n",
       "weather.csv:1:1 error missing-column There are no columns `minimum` and `maximum`. Rename "
       "`Minimum`. Rename `maximun`.\n"},
      {"2027-01-01,1,2\n",
       "weather.csv:1:1 error missing-column There are no columns `date`, `minimum` and "
       "`maximum`. " +
           example},
      {"date;minimum;maximum\n2027-01-01;1;2\n",
       "weather.csv:1:1 error missing-column There are no columns `date`, `minimum` and "
       "`maximum`. Part the columns with commas, not with semicolons.\n"},
      {"date,minimum,maximum,minimum\n2027-01-01,1,2,3\n",
       "weather.csv:1:22 error duplicate-column There is a second column `minimum`. Rename one of "
       "the two.\n"},
      {"date,\"minimum\n",
       "weather.csv:1:6 error csv-syntax This quoted field is never closed. Put a quote at its "
       "end.\n"},
  };
  for (const auto& [weather, problem] : mistakes) {
    CAPTURE(weather);
    CHECK(problems_of_file(weather) == problem);
  }
}

TEST_CASE("every mistake in a row of a file is named at its place") {
  const std::string estimated = "Add what is missing, estimated if need be.\n";
  const std::string number = " is none. Write it with a point and without a unit.\n";
  const std::pair<std::string, std::string> mistakes[] = {
      {"2027-01-01,1,2\n2027-01-03,1,2\n",
       "weather.csv:3:1 error missing-days 1 day is missing before this row. " + estimated},
      {"2027-01-01,1,2\n2027-01-05,1,2\n",
       "weather.csv:3:1 error missing-days 3 days are missing before this row. " + estimated},
      {"2027-01-01,1,2\n2027-01-01,1,2\n",
       "weather.csv:3:1 error duplicate-day 2027-01-01 stands here a second time. Keep one of the "
       "two.\n"},
      {"2027-01-02,1,2\n2027-01-01,1,2\n",
       "weather.csv:3:1 error out-of-order This day comes before one above it. Sort the rows by "
       "date.\n"},
      {"2027-01-01,3,2.5\n",
       "weather.csv:2:12 error out-of-range The minimum, 3 degC, is above the maximum, 2.5 degC. "
       "Write the lower one as the minimum.\n"},
      {"2027-01-01,30,75\n",
       "weather.csv:2:15 error out-of-range No air is 75 degC: is the unit right? `unit` below "
       "`climate` in site.yaml can be degC, degF or K.\n"},
      {"2027-01-01,-999,7\n",
       "weather.csv:2:12 error out-of-range No air is -999 degC: is the unit right? `unit` below "
       "`climate` in site.yaml can be degC, degF or K.\n"},
      {"2027-02-28,1,2\n2027-02-29,1,2\n2027-03-01,1,2\n",
       "weather.csv:3:1 error no-such-date `2027-02-29` is no date: 2027 has no 29 February.\n"},
      {"2200-01-01,1,2\n",
       "weather.csv:2:1 error no-such-date `2200-01-01` is outside the calendar, which runs from "
       "1970 to 2199.\n"},
      {"1/2/2027,1,2\n",
       "weather.csv:2:1 error wrong-value `date` wants a date, such as `2027-01-01`; `1/2/2027` is "
       "none. Write the year, the month and the day with two dashes.\n"},
      {",1,2\n",
       "weather.csv:2:1 error no-value `date` has no value in this row. Write one, estimated if "
       "need be.\n"},
      {"2027-01-01,mild,2\n",
       "weather.csv:2:12 error wrong-value `minimum` wants a number, such as `-1.5`; `mild`" +
           number},
      {"2027-01-01,\"1,5\",2\n",
       "weather.csv:2:12 error wrong-value `minimum` wants a number, such as `-1.5`; `1,5`" +
           number},
      {"2027-01-01,1,2 degC\n",
       "weather.csv:2:14 error wrong-value `maximum` wants a number, such as `-1.5`; `2 degC`" +
           number},
      {"2027-01-01,1,\n",
       "weather.csv:2:14 error no-value `maximum` has no value in this row. Write one, estimated "
       "if need be.\n"},
      {"2027-01-01,1,5,4,0\n",
       "weather.csv:2:1 error wrong-row This row has 5 fields, the first line has 3. Write numbers "
       "with a point, and a field with a comma in it in quotes.\n"},
      {"2027-01-01\n",
       "weather.csv:2:1 error wrong-row This row has 1 field, the first line has 3. Write numbers "
       "with a point, and a field with a comma in it in quotes.\n"},
      {"2027-01-01,1,\"2\n2027-01-02,1,2\n",
       "weather.csv:2:14 error csv-syntax This quoted field is never closed. Put a quote at its "
       "end.\n"},
      {"2027-01-01,1,\"2\"3\n",
       "weather.csv:2:17 error csv-syntax A comma or the end of the line belongs after a quoted "
       "field. Write a quote inside a field twice.\n"},
  };
  for (const auto& [rows, problem] : mistakes) {
    CAPTURE(rows);
    CHECK(problems_of_file("date,minimum,maximum\n" + rows) == problem);
  }
}

TEST_CASE("a row that cannot be read is not a missing day as well") {
  CHECK(problems_of_file("date,minimum,maximum\n2027-01-01,1,2\n2027-01-02,x,2\n2027-01-03,1,2\n")
            .find("missing-days") == std::string::npos);
  CHECK(problems_of_file("date,minimum,maximum\n2027-01-01,1,2\n2027-01-02,1\n2027-01-03,1,2\n")
            .find("missing-days") == std::string::npos);
  const std::string problems =
      problems_of_file("date,minimum,maximum\n2027-01-01,1,2\nbad,80,90\n2027-01-05,1,2\n");
  CHECK(problems.find("2 days are missing before this row.") != std::string::npos);
  CHECK(problems.find("weather.csv:3:5 error out-of-range No air is 80 degC") != std::string::npos);
}

TEST_CASE("the first twenty mistakes of a file are shown, in its order, and the rest counted") {
  const auto rows = [](int count) {
    std::string weather = "date,minimum,maximum\n";
    // Every day is too hot, and the second cannot be read: that is found first.
    for (int i = 0; i < count; ++i) {
      weather += calendar::iso_date(day("2027-01-01") + i) + (i == 1 ? ",x,90\n" : ",80,90\n");
    }
    return weather;
  };
  const auto lines = [](const std::string& text) {
    return std::count(text.begin(), text.end(), '\n');
  };
  CHECK(lines(problems_of_file(rows(20))) == 20);
  CHECK(problems_of_file(rows(20)).find("more-mistakes") == std::string::npos);
  const std::string one_more = problems_of_file(rows(21));
  CHECK(lines(one_more) == 21);
  CHECK(
      one_more.ends_with("weather.csv:22:12 note more-mistakes 1 more mistake in this file, from "
                         "here on, is not shown.\n"));
  const std::string many = problems_of_file(rows(3000));
  CHECK(lines(many) == 21);
  CHECK(
      many.ends_with("weather.csv:22:12 note more-mistakes 2980 more mistakes in this file, from "
                     "here on, are not shown.\n"));
  CHECK(many.find("weather.csv:3:12 error wrong-value") != std::string::npos);
}

TEST_CASE("a mistake in a file does not hide those in the rest of the site") {
  const Folder folder;
  folder.write("site.yaml", "site: N\nclimate: {file: weather.csv}\nlatitude: 100\n");
  folder.write("batches.yaml", small_batches);
  folder.write("weather.csv", "date,minimum,maximum\n2027-01-01,9,8\n");
  text::Sources sources;
  text::Diagnostics diagnostics;
  CHECK(read_book(folder.path(), sources, diagnostics));
  CHECK(diagnostics.count(text::Severity::error) == 2);
}

TEST_CASE("the sun, measured and as usual") {
  Outcome outcome;
  read_with("{file: weather.csv, sky: 50 %}",
            "date,minimum,radiation,maximum\n2027-01-01,-1.5,2.4,4\n2027-01-02,0,,6\n", outcome);
  CHECK(joined(outcome.problems) == "");
  const Site& site = outcome.book->site;
  CHECK(site.sky.radiation(52, day("2027-01-01")) == doctest::Approx(2.4e6));
  CHECK(site.sky.radiation(52, day("2027-01-02")) ==
        doctest::Approx(0.5 * climate::clear_radiation(52, 2)));
  // Without a latitude nothing usual is known.
  CHECK(site.radiation_on(day("2027-01-01")));
  CHECK_FALSE(site.radiation_on(day("2027-01-02")));
}

TEST_CASE("the sun alone is weather too") {
  Outcome outcome;
  read_with("{radiation: [1, 2, 3, 4, 5, 6, 6, 5, 4, 3, 2, 1]}", nullptr, outcome);
  CHECK(joined(outcome.problems) == "");
  CHECK(outcome.book->site.climate == nullptr);
  CHECK(outcome.book->site.radiation_on(day("2027-01-16")) == doctest::Approx(1e6));
}

TEST_CASE("what is wrong with the sun") {
  const auto problems = [](const std::string& value, const char* weather = nullptr) {
    Outcome outcome;
    read_with(value, weather, outcome);
    return joined(outcome.problems);
  };
  CHECK(problems("{radiation: [1, 2]}").find("`radiation` wants twelve numbers") !=
        std::string::npos);
  CHECK(problems("{sunshine: [1, 2, 3, 4, 5, 26, 6, 5, 4, 3, 2, 1]}")
            .find("`sunshine` of a month can be from 0 to 24 h a day.") != std::string::npos);
  CHECK(problems("{sky: 120 %}").find("not more than 100 %") != std::string::npos);
  CHECK(problems("{sky: 55 %, sunshine: [1, 2, 3, 4, 5, 6, 6, 5, 4, 3, 2, 1]}")
            .find("One of `radiation`, `sunshine` and `sky`") != std::string::npos);
  CHECK(problems("{file: weather.csv}", "date,minimum,maximum,radiation\n2027-01-01,-1.5,4,1240\n")
            .find("No day brings 1240 MJ/m2 of the sun.") != std::string::npos);
  CHECK(problems("{file: weather.csv}", "date,minimum,maximum,radiation\n2027-01-01,-1.5,4,dull\n")
            .find("`radiation` wants a number") != std::string::npos);
}
