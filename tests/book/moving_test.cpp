#include <doctest/doctest.h>

#include "book/book.hpp"
#include "book/site/site.hpp"
#include "book_folder.hpp"

/// Plants are carried from room to room at the site's usual rate, where no protocol says otherwise.
using namespace budwood;
using namespace budwood::book;
using namespace budwood::book::test;

namespace {

const std::string protocol =
    "protocol p { part a\n"
    "  stage s of a { lasts 5 days  room house }\n"
    "  stage t of a { lasts 5 days  room frame  do \"Look\" on day 2 { time 5 min } }\n"
    "  stage u of a { lasts 5 days  room yard  move { time 2 h } }\n"
    "  stage v of a { lasts 5 days  room yard }\n"
    "}\n";

/// "t Look, t Move the plants ..." of all stages.
std::string works_with(const std::string& moving) {
  Folder folder;
  folder.write("site.yaml", "site: North house\n" + moving);
  folder.write("batches.yaml",
               "batches: [{batch: A, protocol: p, plants: 5, ready: 2027-05-10}]\n");
  folder.write("p.bud", protocol);
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto book = read_book(folder.path(), sources, diagnostics);
  if (diagnostics.has_errors()) return one_line(diagnostics.sorted().front());
  std::string out;
  for (const language::Stage& stage : book->protocols.front().stages) {
    for (const language::Work& work : stage.works) {
      out += stage.name + " " + work.title + (work.crew.empty() ? "" : " by " + work.crew) + ", ";
      // Where a crew that the site does not have is told.
      CHECK(text::text_of(work.crew_span) == work.crew);
    }
  }
  return out;
}

}  // namespace

TEST_CASE("a change of room is work where the site says how fast plants are carried") {
  CHECK(works_with("") == "t Look, u Move the plants, ");
  CHECK(works_with("moving: {rate: 400 per hour, crew: benches}\n") ==
        "t Look, t Move the plants by benches, u Move the plants, ");
  CHECK(site_of("moving: {rate: 360 per hour}\n").moving->rate == doctest::Approx(0.1));
}

TEST_CASE("who spaces plants, and how fast, the site may say") {
  Folder folder;
  folder.write("site.yaml",
               "site: North house\nspacing: {rate: 360 per hour, crew: benches}\n"
               "supplies: {pot: {footprint: 10 cm by 20 cm}, mix: {}}\n");
  folder.write("batches.yaml",
               "batches: [{batch: A, protocol: p, plants: 5, ready: 2027-05-10}]\n");
  folder.write("p.bud",
               "protocol p {\n  supply pot in pots\n  supply mix in L\n  part a\n"
               "  stage s of a { lasts 9 days  room house  space 60 per m2, 20 per m2 from day 5\n"
               "    do \"Pot\" { time 1 h  use 1 pot each  use 1 L mix } }\n}\n");
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto book = read_book(folder.path(), sources, diagnostics);
  REQUIRE_FALSE(diagnostics.has_errors());
  const language::Protocol& read = book->protocols.front();
  const language::Work& work = read.stages[0].works[language::WorkId(1)];
  CHECK(work.title == "Space to 20 per m2");
  CHECK(work.crew == "benches");
  CHECK(read.node(work.rate).value == doctest::Approx(0.1));
  CHECK(read.supplies[0].footprint == doctest::Approx(0.02));

  folder.write("site.yaml", "site: North house\nsupplies: {mix: {footprint: 1 m2}}\n");
  text::Diagnostics wrong;
  read_book(folder.path(), sources, wrong);
  CHECK(one_line(wrong.sorted().front()) ==
        "site.yaml:2:29 error unit-mismatch `mix` of `p` is measured, not counted, so it has no "
        "footprint.");
}

TEST_CASE("who picks plants, and how fast, the site may say") {
  Folder folder;
  folder.write("site.yaml", "site: North house\npicking: {rate: 360 per hour, crew: benches}\n");
  folder.write("batches.yaml",
               "batches: [{batch: A, protocol: p, plants: 5, ready: 2027-05-10}]\n");
  folder.write("p.bud",
               "protocol p {\n  part a\n"
               "  stage s of a { lasts 9 days  picks 60 % on day 4, 30 % on last day\n"
               "    do \"Pick\" on day 4 { rate 90 per hour  tagged picking } }\n}\n");
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto book = read_book(folder.path(), sources, diagnostics);
  REQUIRE_FALSE(diagnostics.has_errors());
  const language::Stage& stage = book->protocols.front().stages[0];
  const language::Work& own = stage.works[language::WorkId(0)];
  CHECK(own.picks == 1);
  CHECK(own.crew.empty());
  const language::Work& work = stage.works[language::WorkId(1)];
  CHECK(work.title == "Pick 30 %, 2 of 2");
  CHECK(work.crew == "benches");
  CHECK(book->protocols.front().node(work.rate).value == doctest::Approx(0.1));
}

TEST_CASE("a rate of carrying that is none is told") {
  CHECK(works_with("moving: {crew: benches}\n").find("rate") != std::string::npos);
  for (const char* rate : {"400", "400 L", "0 per hour", "-3 per hour", "soon"}) {
    CAPTURE(rate);
    CHECK(works_with(std::string("moving: {rate: ") + rate + "}\n").find("`rate` wants") !=
          std::string::npos);
  }
}
