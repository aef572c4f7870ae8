#include <doctest/doctest.h>

#include <set>

#include "../report/sample_plan.hpp"
#include "../words.hpp"
#include "paper/paper.hpp"

using namespace budwood;
using namespace budwood::paper;
using budwood::report::test::SamplePlan;
using budwood::tests::count;
using budwood::tests::has;

namespace {

std::string sheets(SamplePlan& book, const WorkSheets& how = {},
                   const report::Filter& filter = {}) {
  std::ostringstream out;
  write_work_sheets(out, book.plan(), filter, how);
  return out.str();
}

constexpr const char* with_watch = R"(protocol looks "Looks" {
  supply blade "Blade" in blades hazard blade
  observe rot in % "leaves that rot, of 20"
  observe roots "roots at the edge"
  part cutting "Cutting"
  stage bench of cutting "Bench" {
    lasts 9 days
    room bench
    do "Trim" on day 1 { time 10 min  use 1 blade  caution "Mind the edge."  note "Dry hands." }
    do "Look" on day 4 { time 10 min  record rot  record roots  record counted in plants }
    if rot > 10 % on day 4 { warn "Air the bench." }
  }
}
)";

}  // namespace

TEST_CASE("every order stands once, whatever the groups") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14");
  book.add_batch("L2", 40, "2027-05-28");
  const report::Selection all = report::select_all(book.plan(), {});
  REQUIRE(all.size() > 10);
  for (const Grouping by :
       {Grouping::day, Grouping::week, Grouping::crew, Grouping::room, Grouping::batch}) {
    CAPTURE(static_cast<int>(by));
    const std::string page = sheets(book, {by, PageSize::printers, {}});
    for (const std::size_t i : all.orders) {
      CHECK(count(page, "<bdi>" + plan::order_id(book.plan(), book.plan().orders[i]) + "</bdi>") ==
            1);
    }
    for (const plan::SettingOrder& one : all.settings) {
      CHECK(count(page, "<bdi>" + plan::describe(book.plan(), one).id + "</bdi>") == 1);
    }
    CHECK(count(page, "class=\"tick\"") == all.size());
    CHECK(count(page, "Initials") == all.size());
  }
}

TEST_CASE("groups are named, and come in their order") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14");
  CHECK(has(sheets(book), "<bdi>Thursday 2027-04-22</bdi>"));
  CHECK(has(sheets(book, {Grouping::week, PageSize::printers, {}}), "<bdi>Week 2027-W16</bdi>"));
  CHECK(has(sheets(book, {Grouping::room, PageSize::printers, {}}), "<bdi>Room propagator</bdi>"));
  const std::string crews = sheets(book, {Grouping::crew, PageSize::printers, {}});
  CHECK(crews.find("Crew potting") < crews.find("Crew propagation"));
  CHECK(crews.find("Crew propagation") < crews.find("Work for anyone"));
  CHECK(has(sheets(book, {Grouping::batch, PageSize::printers, {}}), "<bdi>Batch L1</bdi>"));
}

TEST_CASE("an order tells all that people need") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14");
  const std::string page = sheets(book);
  for (const char* words :
       {"<bdi>Cut leaves, lay on the mix</bdi>", "Crew propagation, Room propagator, 2 people",
        "100 leaves", "<bdi>Tray, 40 cells</bdi>, <bdi>comes back</bdi>", "<bdi>Knife</bdi>",
        "air by day 20 degC", "<bdi>Cut away from the body.</bdi>", "<bdi>Veins downwards.</bdi>",
        "<bdi>laid</bdi>", "<bdi>leaves</bdi>", "Initials",
        "<bdi>Rooting, stage 1 of 2, day 1 of 21</bdi>; then <bdi>potting from</bdi>",
        "Leaf cuttings, edition 3", "Mill Bank"}) {
    CAPTURE(words);
    CHECK(has(page, words));
  }
}

TEST_CASE("the last stage tells when the batch is ready") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14");
  CHECK(has(sheets(book),
            "<bdi>potting, stage 2 of 2, day 1 of 1</bdi>; then <bdi>ready on</bdi> <span "
            "class=\"together\">Fri 2027-05-14</span>"));
}

TEST_CASE("the line about labels stands once a group, cautions with each order") {
  SamplePlan book(with_watch);
  book.add_batch("W1", 20, "2027-05-14");
  const std::string page = sheets(book);
  CHECK(count(page, "Follow the product label") == 1);
  CHECK(has(page, "<bdi>Mind the edge.</bdi>"));
  CHECK(has(page, "<bdi>Blade: cut away from the body"));
  // The second day has no cautions, so it has no such line either.
  report::Filter second;
  second.from = second.to = book.plan().orders.back().date;
  CHECK(count(sheets(book, {}, second), "Follow the product label") == 0);
}

TEST_CASE("what to do if something is seen stands apart from notes") {
  SamplePlan book(with_watch);
  book.add_batch("W1", 20, "2027-05-14");
  const std::string page = sheets(book);
  CHECK(count(page, "If rot &gt; 10 % on day 4") == 1);
  CHECK(has(page, "<div class=\"case\"><bdi>If rot"));
  CHECK(has(page, "<div><bdi>Dry hands.</bdi>"));
}

TEST_CASE("each record has its blank: a box and a unit, or yes and no") {
  SamplePlan book(with_watch);
  book.add_batch("W1", 20, "2027-05-14");
  const std::string page = sheets(book);
  CHECK(count(page, "class=\"record\"") == 3);
  CHECK(count(page, "class=\"box\"") == 2);
  CHECK(count(page, "class=\"box small\"") == 2);
  CHECK(has(page, "leaves that rot, of 20"));
}

TEST_CASE("work that is done is ticked") {
  SamplePlan book(with_watch);
  book::Batch& batch = book.add_batch("W1", 20, "2027-05-14");
  batch.done.push_back({"bench/1/1", *calendar::parse_iso_date("2027-05-05"), {}});
  const std::string page = sheets(book);
  CHECK(count(page, "\u2713") == 1);
  CHECK(has(page, "Done Wed 2027-05-05"));
}

TEST_CASE("nothing to print is said") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14");
  report::Filter none;
  none.to = *calendar::parse_iso_date("2020-01-01");
  std::ostringstream out;
  CHECK(write_work_sheets(out, book.plan(), none, {}) == 0);
  CHECK(has(out.str(), "No work orders"));
}

TEST_CASE("a conflict is seen on the paper") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14");
  CHECK_FALSE(has(sheets(book), "has conflicts"));
  SamplePlan short_of_plants;
  book::Batch& batch = short_of_plants.add_batch("L1", 80, "2027-05-14");
  batch.counted.push_back({"rooting", 3, {}});
  REQUIRE_FALSE(short_of_plants.plan().conflicts.empty());
  CHECK(has(sheets(short_of_plants), "The plan of L1 has conflicts"));
}

TEST_CASE("a page is for the paper that is asked for") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14");
  CHECK(has(sheets(book, {Grouping::day, PageSize::a4, {}}), "@page { size: A4; margin:"));
  CHECK(has(sheets(book, {Grouping::day, PageSize::letter, {}}), "@page { size: letter; margin:"));
  CHECK(has(sheets(book), "@page { margin:"));
}

TEST_CASE(
    "the head of a week tells its days once, and time of several people is told as theirs "
    "together") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14");
  const std::string page = sheets(book, {Grouping::week, PageSize::printers, {}});
  const std::size_t under = page.find("class=\"under\"");
  REQUIRE(under != std::string::npos);
  const std::string line = page.substr(under, page.find("</div>", under) - under);
  CAPTURE(line);
  CHECK(line.find(" to ") == line.rfind(" to "));
  // From Monday to Sunday.
  CHECK(has(line, "2027-04-19 to 2027-04-25"));
  CHECK(has(page, "of work, all together"));
}
