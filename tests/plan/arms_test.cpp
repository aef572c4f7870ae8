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

TEST_CASE("trays noted of an arm that the lot does not give them to: the trial was changed") {
  const auto noted_of_b = [](bool own) {
    Planned planned(layering);
    trial(planned, 400, 4, {"left bench", "right bench"});
    const book::Trial& drawn = *planned.book().batches.back().trial;  // of arm B
    record::Entry entry;
    entry.what = record::What::counted;
    entry.batch = "TR-B";
    entry.place = "rooting";
    for (const book::TrialTray& tray : drawn.trays) {
      if ((tray.letter == 'B') == own) entry.tray = std::to_string(tray.number);
    }
    entry.number = 20;
    entry.of = 25;
    entry.day = *calendar::parse_iso_date("2027-05-01");
    planned.book().history.push_back(entry);
    const bool told = planned.problems().find("trial-changed") != std::string::npos;
    CHECK(told != planned.plan().changed_trials.empty());
    return told;
  };
  CHECK(noted_of_b(false));
  CHECK_FALSE(noted_of_b(true));
}
