#include <doctest/doctest.h>

#include "planned.hpp"

/// Trials: what was drawn, and what they can tell.
namespace {

using namespace budwood;
using namespace budwood::plan::test;

/// Two arms of a trial of the protocol as it is.
Planned& trial(Planned& planned, int plants, int trays, const std::vector<std::string>& blocks) {
  const auto drawn = book::draw_trays(2, trays, blocks, 7);
  for (const char letter : {'A', 'B'}) {
    book::Batch& batch = planned.add(std::string("TR-") + letter, plants, "2027-05-07");
    batch.split_from = "TR";
    batch.trial = book::Trial{"TR",  letter == 'A' ? "tape" : "clip", letter, 2,
                              trays, static_cast<int>(blocks.size()), drawn,  {}};
  }
  return planned;
}

std::vector<std::string> notes_of(Planned& planned) {
  std::vector<std::string> out;
  for (const plan::Note& note : planned.plan().notes) {
    if (note.message.starts_with("Trial ")) out.push_back(note.message);
  }
  return out;
}

}  // namespace

TEST_CASE("the plan tells which tray is of which arm, block by block, once a trial") {
  Planned planned(layering);
  trial(planned, 400, 4, {"left bench", "right bench"});
  const auto notes = notes_of(planned);
  REQUIRE(notes.size() >= 2);
  CHECK(notes[0].starts_with("Trial TR, left bench: tray 1 "));
  CHECK(notes[1].starts_with("Trial TR, right bench: tray 5 "));
}

TEST_CASE("a trial that is large enough tells what it can tell, a small one is warned of") {
  Planned large(layering);
  trial(large, 800, 20, {""});
  CHECK(large.problems().find("small-trial") == std::string::npos);
  CHECK(notes_of(large).back().find("tell a difference of") != std::string::npos);
  Planned small(layering);
  trial(small, 60, 4, {""});
  CHECK(small.problems().find("small-trial") != std::string::npos);
  CHECK(small.problems().find("trays an arm") != std::string::npos);
  // Three trays each: the smallest p is 0.1, so nothing can be shown.
  Planned hopeless(layering);
  trial(hopeless, 800, 3, {""});
  CHECK(hopeless.problems().find("cannot show a difference, however large") != std::string::npos);
}
