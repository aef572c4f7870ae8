#include <doctest/doctest.h>

#include "../report/potted_in_mix.hpp"
#include "office/calendar/calendar.hpp"
#include "office/workbooks/workbook.hpp"

using namespace budwood;
using budwood::report::test::PottedInMix;

TEST_CASE("what is made is an event of its day, by order and by crew") {
  PottedInMix sample;
  for (const office::EventOf of : {office::EventOf::order, office::EventOf::crew}) {
    office::CalendarView view;
    view.event = of;
    const office::Calendar calendar = office::write_calendar(sample.plan(), {}, view, {});
    const auto events = office::read_calendar(calendar.text, "Mill Bank");
    REQUIRE(events);
    std::size_t found = 0;
    for (const auto& [uid, event] : *events) {
      if (event.summary != "Make 100 L: Mix for potting") continue;
      ++found;
      CHECK(calendar::iso_date(event.date) == "2027-04-09");
      CHECK(event.category == "potters");
      CHECK(event.description.find("Use: Peat-free base: 60 L") != std::string::npos);
      CHECK(event.description.find("Dust: moisten") != std::string::npos);
    }
    CHECK(found == 1);
  }
}

TEST_CASE("a workbook of orders counts what is made") {
  PottedInMix sample;
  const office::Workbook workbook = office::orders_workbook(sample.plan(), {});
  CHECK(workbook.problem == "");
  CHECK(workbook.found == 2);
}
