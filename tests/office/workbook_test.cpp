#include <doctest/doctest.h>

#include "../report/loaded.hpp"
#include "../report/sample_plan.hpp"
#include "office/workbooks/grid.hpp"
#include "office/workbooks/workbook.hpp"
#include "parts.hpp"
#include "plan/rooms/load.hpp"

using namespace budwood;
using office::Column;
using office::Grid;
using office::Show;
using office::Workbook;
using office::WorkbookFile;
using office::test::shown_in;
using report::test::SamplePlan;

namespace {

SamplePlan& sample() {
  static SamplePlan one;
  if (one.book().batches.empty()) one.add_batch("A", 100, "2027-05-14");
  return one;
}

}  // namespace

TEST_CASE("workbook: the same plan gives the same bytes") {
  const plan::Plan& plan = sample().plan();
  const plan::Needs needs = plan::total_needs(plan);
  const plan::Load load = plan::load_of(plan);
  const auto make = [&](int which) -> Workbook {
    if (which == 0) return office::orders_workbook(plan, {});
    if (which == 1) return office::needs_workbook(plan, needs, {});
    if (which == 2) return office::load_workbook(plan, load, {});
    if (which == 3) return office::sheet_workbook(plan, {});
    return office::settings_workbook(plan, {});
  };
  for (int which = 0; which < 5; ++which) {
    const Workbook first = make(which);
    CHECK(first.problem == "");
    CHECK(first.found > 0);
    CHECK(first.bytes.substr(0, 2) == "PK");
    CHECK(first.bytes == make(which).bytes);
  }
}

TEST_CASE("workbook: an empty book gives sheets with nothing but heads") {
  SamplePlan empty;
  const Workbook workbook = office::orders_workbook(empty.plan(), {});
  CHECK(workbook.problem == "");
  CHECK(workbook.found == 0);
  CHECK(workbook.bytes.substr(0, 2) == "PK");
}

TEST_CASE("workbook: a cell is named by its column and row") {
  WorkbookFile file(sample().plan());
  Grid& grid = file.add("One", {{"A"}, {"B", Show::number}});
  CHECK(grid.cell(0) == "A2");
  grid.text("x").number(1).end_row();
  CHECK(grid.cell(1) == "B3");
  CHECK(grid.cell(27, 9) == "AB10");
}

TEST_CASE("workbook: more rows than a spreadsheet holds are told, and nothing is written") {
  WorkbookFile file(sample().plan());
  Grid& grid = file.add("Long", {{"A", Show::number}});
  for (int i = 0; i < 1'048'577 && file.ok(); ++i) grid.number(i).end_row();
  CHECK_FALSE(file.ok());
  const Workbook workbook = file.finish(1);
  CHECK(workbook.bytes.empty());
  CHECK(workbook.problem.find("`Long` would have more than 104857") != std::string::npos);
}

TEST_CASE("workbook: more columns than a spreadsheet holds are told") {
  WorkbookFile file(sample().plan());
  Grid& grid = file.add("Wide", std::vector<Column>(16385, Column{"A"}));
  grid.text("x").end_row();
  const Workbook workbook = file.finish(1);
  CHECK(workbook.bytes.empty());
  CHECK(workbook.problem.find("16385 columns") != std::string::npos);
}

TEST_CASE("workbook: sheets of the same name get numbers") {
  WorkbookFile file(sample().plan());
  for (int i = 0; i < 3; ++i) file.add("Same name that goes on and on and on", {{"A"}});
  CHECK(file.finish(0).problem == "");
}

TEST_CASE("workbook: a room that is full to the last place is not too full") {
  report::test::Loaded book;
  book.book().batches[0].plants.value = 350;
  book.book().batches.pop_back();
  book.book().site.rooms["bench"].unlimited = true;
  const std::string bytes =
      office::load_workbook(book.plan(), plan::load_of(book.plan()), {}).bytes;
  // The first day of the batch: seven trays where there is room for seven.
  std::size_t full = 0;
  for (int row = 2; row < 20; ++row) {
    const std::string at = std::to_string(row);
    if (shown_in(bytes, 1, "A" + at) != "chamber" || shown_in(bytes, 1, "E" + at) != "7") continue;
    ++full;
    CHECK(shown_in(bytes, 1, "F" + at) == "7");
    CHECK(shown_in(bytes, 1, "I" + at) == "0");
    CHECK(shown_in(bytes, 1, "J" + at) == "no");
  }
  CHECK(full > 0);
}

TEST_CASE("workbook: where more is on hand than is needed nothing is missing") {
  SamplePlan book;
  book.add_batch("A", 100, "2027-05-14");
  const units::Parsed stock = *units::parse_quantity("500");
  book.book().site.supplies["leaf"].on_hand = book::Written{{}, "500", stock, true};
  const plan::Needs needs = plan::total_needs(book.plan());
  const std::string bytes = office::needs_workbook(book.plan(), needs, {}).bytes;
  for (int row = 2; row < 6; ++row) {
    const std::string at = std::to_string(row);
    if (shown_in(bytes, 1, "B" + at) != "leaf") continue;
    CHECK(shown_in(bytes, 1, "C" + at) == "125");
    CHECK(shown_in(bytes, 1, "G" + at) == "500");
    CHECK(shown_in(bytes, 1, "H" + at) == "0");
    return;
  }
  FAIL("There is no leaf.");
}
