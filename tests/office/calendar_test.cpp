#include <doctest/doctest.h>

#include <chrono>
#include <set>

#include "../report/sample_plan.hpp"
#include "office/calendar/calendar.hpp"
#include "office/calendar/identity.hpp"

using namespace budwood;
using office::CalendarView;
using office::EventOf;
using office::Events;
using report::test::SamplePlan;

namespace {

Events events_of(SamplePlan& sample, const CalendarView& view = {}, const Events& before = {},
                 const report::Filter& filter = {}) {
  const office::Calendar calendar = office::write_calendar(sample.plan(), filter, view, before);
  const auto events = office::read_calendar(calendar.text, "Mill Bank");
  REQUIRE(events);
  return *events;
}

std::string text_of(SamplePlan& sample, const Events& before = {}) {
  return office::write_calendar(sample.plan(), {}, {}, before).text;
}

int highest_sequence(const Events& events) {
  int out = 0;
  for (const auto& [uid, event] : events) out = std::max(out, event.sequence);
  return out;
}

}  // namespace

TEST_CASE("identity: the same thing has the same UUID, another one another") {
  const office::Identity site("Mill Bank");
  CHECK(site.of("order", "A/rooting/1/1") ==
        office::Identity("Mill Bank").of("order", "A/rooting/1/1"));
  const std::set<std::string> all = {site.calendar(), site.of("order", "A/rooting/1/1"),
                                     site.of("order", "A/rooting/1/2"),
                                     site.of("crew", "A/rooting/1/1"),
                                     office::Identity("Mill Bank 2").of("order", "A/rooting/1/1")};
  CHECK(all.size() == 5);
  for (const std::string& one : all) {
    REQUIRE(one.size() == 36);
    CHECK(one[14] == '5');  // made of a name by SHA-1
  }
  // Written down once: if this changes, every calendar that anybody has tells all of its work
  // twice.
  CHECK(site.of("order", "A/rooting/1/1") == "ad0ea5e0-4e68-546a-b295-4179547fbbea");
}

TEST_CASE("calendar: what was written is read again, and nothing changes by it") {
  SamplePlan sample;
  sample.add_batch("A", 100, "2027-05-14");
  const Events first = events_of(sample);
  CHECK(first.size() > 3);
  const std::string text = text_of(sample);
  CHECK(text == text_of(sample, first));
  CHECK(highest_sequence(events_of(sample, {}, first)) == 0);
}

TEST_CASE("calendar: an order that moves keeps its name and is told to be newer") {
  // What is set in rooms goes by room and day.
  std::istringstream lines(report::test::leaf_cuttings);
  std::string work_alone;
  for (std::string line; std::getline(lines, line);) {
    const bool setting = line.starts_with("    keep ") || line.starts_with("    taper ");
    if (!setting) work_alone += line + "\n";
  }
  SamplePlan before(work_alone);
  before.add_batch("A", 100, "2027-05-14");
  SamplePlan after(work_alone);
  after.add_batch("A", 100, "2027-05-21");
  const Events first = events_of(before);
  const Events second = events_of(after, {}, first);
  CHECK(second.size() == first.size());
  for (const auto& [uid, event] : second) {
    REQUIRE(first.contains(uid));
    CHECK(event.date == first.at(uid).date + 7);
    CHECK(event.sequence == 1);
    CHECK_FALSE(event.cancelled);
  }
  const Events back = events_of(before, {}, second);
  for (const auto& [uid, event] : back) CHECK(event.sequence == 2);
}

TEST_CASE("calendar: what the plan no longer has is cancelled once") {
  SamplePlan two;
  two.add_batch("A", 100, "2027-05-14");
  two.add_batch("B", 50, "2027-06-11");
  SamplePlan one;
  one.add_batch("A", 100, "2027-05-14");
  const Events first = events_of(two);
  const Events second = events_of(one, {}, first);
  std::size_t cancelled = 0;
  for (const auto& [uid, event] : second) {
    if (event.cancelled) ++cancelled;
    CHECK(event.sequence == (event.cancelled ? 1 : 0));
    CHECK(event.date == first.at(uid).date);
  }
  CHECK(cancelled == first.size() - events_of(one).size());
  CHECK(text_of(one, second) == text_of(one, first));
}

TEST_CASE("calendar: a filter chooses what is new, and what was told before stays true") {
  SamplePlan sample;
  sample.add_batch("A", 100, "2027-05-14");
  sample.add_batch("B", 50, "2027-06-11");
  report::Filter only_b;
  only_b.batch = "B";
  const Events all = events_of(sample);
  const Events b = events_of(sample, {}, {}, only_b);
  CHECK(b.size() < all.size());
  CHECK(events_of(sample, {}, all, only_b).size() == all.size());
  report::Filter only_a;
  only_a.batch = "A";
  CHECK(events_of(sample, {}, b, only_a).size() == all.size());
}

TEST_CASE("calendar: a day of a crew is one event with all of its orders") {
  SamplePlan sample;
  sample.add_batch("A", 100, "2027-05-14");
  sample.add_batch("B", 100, "2027-05-14");
  CalendarView view;
  view.event = EventOf::crew;
  const Events events = events_of(sample, view);
  std::size_t potting = 0;
  for (const auto& [uid, event] : events) {
    if (event.category != "potting") continue;
    ++potting;
    CHECK(event.summary == "potting: 2 orders, 2.0 h");
    CHECK(event.description.find("A: Pot, room bench") != std::string::npos);
    CHECK(event.description.find("B: Pot, room bench") != std::string::npos);
  }
  CHECK(potting == 1);
}

TEST_CASE("calendar: only calendars of the site are read") {
  SamplePlan sample;
  sample.add_batch("A", 100, "2027-05-14");
  const std::string text = text_of(sample);
  CHECK(office::read_calendar(text, "Mill Bank"));
  CHECK_FALSE(office::read_calendar(text, "Mill Bank 2"));
  for (const char* other : {"", "BEGIN:VCALENDAR", "BEGIN:VEVENT\r\nEND:VEVENT\r\n", "some text",
                            "BEGIN:VCALENDAR\r\nPRODID:x\r\nEND:VCALENDAR\r\n"}) {
    CHECK_FALSE(office::read_calendar(other, "Mill Bank"));
  }
}

TEST_CASE("calendar: a line longer than any of ours is refused before it takes time") {
  SamplePlan sample;
  sample.add_batch("A", 100, "2027-05-14");
  const std::string text = text_of(sample);
  const std::size_t at = text.find("SUMMARY:") + 8;
  const auto with = [&](const std::string& more) {
    std::string out = text;
    return out.insert(at, more);
  };
  std::string folded;
  for (int i = 0; i < 120'000; ++i) folded += std::string(68, 'x') + "\r\n ";
  const auto begin = std::chrono::steady_clock::now();
  CHECK_FALSE(office::read_calendar(with(std::string(8U << 20U, 'x')), "Mill Bank"));
  CHECK_FALSE(office::read_calendar(with(folded), "Mill Bank"));
  CHECK(std::chrono::steady_clock::now() - begin < std::chrono::seconds(5));
  CHECK(office::read_calendar(with(folded.substr(0, 71 * 1000)), "Mill Bank"));
}

TEST_CASE("calendar: components inside each other without end are refused before they are read") {
  SamplePlan sample;
  sample.add_batch("A", 100, "2027-05-14");
  const std::string text = text_of(sample);
  const std::size_t at = text.find("BEGIN:VEVENT");
  const auto nested = [&](int levels, const std::string& begin, const std::string& end) {
    std::string more;
    for (int i = 0; i < levels; ++i) more += begin;
    for (int i = 0; i < levels; ++i) more += end;
    std::string out = text;
    return out.insert(at, more);
  };
  const std::string end = "END:VEVENT\r\n";
  CHECK(office::read_calendar(nested(3, "BEGIN:VEVENT\r\n", end), "Mill Bank"));
  // So many that giving them back took more stack than there is.
  for (const char* begin : {"BEGIN:VEVENT\r\n", "begin:VEVENT\r\n", "BEGIN;X=1:VEVENT\r\n",
                            "BE\r\n GI\r\n\tN:VEVENT\r\n"}) {
    CHECK_FALSE(office::read_calendar(nested(300'000, begin, end), "Mill Bank"));
  }
}

TEST_CASE("calendar: a file that was cut anywhere is read as far as it goes, or not at all") {
  SamplePlan sample;
  sample.add_batch("A", 100, "2027-05-14");
  const std::string text = text_of(sample);
  const std::size_t all = office::read_calendar(text, "Mill Bank")->size();
  for (std::size_t end = 0; end < text.size(); end += 97) {
    const auto events = office::read_calendar(text.substr(0, end), "Mill Bank");
    if (events) CHECK(events->size() <= all);
  }
}
