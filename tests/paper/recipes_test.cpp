#include <doctest/doctest.h>

#include <sstream>

#include "../report/potted_in_mix.hpp"
#include "paper/paper.hpp"

using namespace budwood;
using budwood::report::test::PottedInMix;

/// What is made here, on paper.
namespace {

std::string mixing_sheets(paper::Grouping by) {
  PottedInMix book;
  std::ostringstream out;
  CHECK(paper::write_work_sheets(out, book.plan(), {}, {by, paper::PageSize::printers, {}}) == 2);
  return out.str();
}

std::size_t place_of(const std::string& page, const std::string& what) {
  const std::size_t place = page.find(what);
  CHECK_MESSAGE(place != std::string::npos, what);
  return place;
}

}  // namespace

TEST_CASE("a making has a card like other work, whatever the groups") {
  using paper::Grouping;
  for (const Grouping by :
       {Grouping::day, Grouping::week, Grouping::crew, Grouping::room, Grouping::batch}) {
    CAPTURE(static_cast<int>(by));
    const std::string page = mixing_sheets(by);
    const std::size_t title = place_of(page, "Make 100 L: Mix for potting");
    CHECK(place_of(page, "mix/make/2027-04-09</bdi>") > title);
    CHECK(place_of(page, "80 L for A1/potting/1/1 on Mon 2027-04-12") > title);
    place_of(page, "Dust: moisten before handling; wear a dust mask; air the room.");
    place_of(page, "Follow the product label");
    const bool by_time = by == Grouping::day || by == Grouping::week;
    place_of(page, by_time ? "; 1 making, 30 min of people"
                           : "; 1 work order and 1 making, 2.1 h of people");
  }
}

TEST_CASE("a printed method tells its recipes") {
  PottedInMix book;
  std::ostringstream out;
  REQUIRE(paper::write_method(out, book.book().protocols.front(), {}));
  const std::string page = out.str();
  place_of(page, "Made here");
  place_of(page, "60 L of Peat-free base, 0.3 kg of Ground lime");
  place_of(page, "made 3 days before use; 30 min of work, crew potters");
}
