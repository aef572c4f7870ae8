#include <doctest/doctest.h>

#include <algorithm>

#include "language/check/hazard.hpp"
#include "language/model.hpp"
#include "reading.hpp"

using namespace reading;
using language::Contingency;

namespace {

const std::string declarations =
    "observe mould in %\nobserve wilting\nsupply soap in mL hazard irritant\n"
    "supply label in labels\n";
const std::string looking = "do \"Look\" every 3 days { record mould  record wilting }\n";

Reading stage_with(const std::string& statements) {
  return Reading(with_stage(declarations, looking + statements));
}

const Contingency& first(const Reading& read) {
  return read.protocol().stages[0].contingencies.front();
}

}  // namespace

TEST_CASE("a condition knows its words, its day and what it looks at") {
  const Reading read = stage_with(
      "if mould  <\n 50 % # of the trays\n and not wilting on day 4 { warn \"Air the house.\" }\n"
      "if wilting on last day { warn \"Shade.\" warn \"Look again.\" }");
  const Contingency& one = first(read);
  CHECK(one.written == "mould < 50 % and not wilting");
  CHECK(one.observations == std::vector{language::ObservationId(0), language::ObservationId(1)});
  CHECK(one.day.day == 4);
  CHECK_FALSE(one.day.last);
  CHECK(one.warnings == std::vector<std::string>{"Air the house."});
  const auto& all = read.protocol().stages[0].contingencies;
  REQUIRE(all.size() == 2);
  CHECK(all[1].day.last);
  CHECK(all[1].warnings == std::vector<std::string>{"Shade.", "Look again."});
}

TEST_CASE("work in a condition is kept apart from the work of the stage, as written") {
  const Reading read = stage_with(
      "if mould >= 5 % on day 4 { do \"Wash down\" {\n use 5 mL soap\n"
      " each # mild\n crew growers time 20 min note \"Rinse.\" tool \"Bucket\" caution \"Mind your "
      "eyes.\"\n"
      " record washed in trays no entry for 2 h after } }\nroom fog_house");
  CHECK(read.protocol().stages[0].works.size() == 1);
  REQUIRE(first(read).actions.size() == 1);
  const Contingency::Action& action = first(read).actions[0];
  CHECK(action.details == std::vector<std::string>{"use 5 mL soap each", "crew growers",
                                                   "time 20 min", "tool \"Bucket\"",
                                                   "record washed in trays",
                                                   "no entry for 2 h after"});
  CHECK(action.work.title == "Wash down");
  CHECK(action.work.crew == "growers");
  REQUIRE(action.work.cautions.size() == 3);
  CHECK(action.work.cautions[0] == "Mind your eyes.");
  CHECK(action.work.cautions[1] == language::usual_caution("irritant"));
  CHECK(read.protocol().node(action.work.no_entry).value == 2 * 3600);
}

TEST_CASE("work in a condition is checked like other work") {
  const auto errors = [](const std::string& work) {
    return stage_with("if wilting on day 4 { " + work + " }").errors();
  };
  CHECK(errors("do \"x\" { use 5 mL soup }") == Codes{"unknown-name"});
  CHECK(errors("do \"x\" { time 0 min }") == Codes{"out-of-range"});
  CHECK(errors("do \"x\" { time 5 L }") == Codes{"unit-mismatch"});
  CHECK(errors("do \"\"") == Codes{"no-title"});
  CHECK(errors("do \"x\" { no entry for 2 h after }") == Codes{"no-room"});
  CHECK(errors("do \"x\" on day 5") == Codes{"misplaced"});
  CHECK(errors("do \"x\" at start") == Codes{"misplaced"});
  CHECK(errors("do \"x\" within 2 days") == Codes{"misplaced"});
  CHECK(errors("do \"x\" daily { time 0 min }") == Codes{"misplaced", "out-of-range"});
}

TEST_CASE("a condition without anything to do is a mistake") {
  CHECK(stage_with("if wilting on day 4 { }").errors() == Codes{"no-action"});
  CHECK(stage_with("if wilting on day 4 { warn \"\" }").errors() == Codes{"no-action"});
}

TEST_CASE("a condition holds observations against values of their kind") {
  const auto errors = [](const std::string& condition) {
    return stage_with("if " + condition + " on day 4 { warn \"x\" }").errors();
  };
  CHECK(errors("mould between 2 % and 5 %") == Codes{});
  CHECK(errors("not wilting") == Codes{});
  CHECK(errors("wilting and mould != 0 %") == Codes{});
  CHECK(errors("mould") == Codes{"gate-form"});
  CHECK(errors("not mould") == Codes{"gate-form"});
  CHECK(errors("not mould > 5 %") == Codes{"gate-form"});
  CHECK(errors("wilting >= 2") == Codes{"gate-form"});
  CHECK(errors("5 < 3") == Codes{"gate-form"});
  CHECK(errors("chill_hours(7 degC) >= 80 h") == Codes{"gate-form"});
  CHECK(errors("mould > 5 days") == Codes{"unit-mismatch"});
  CHECK(errors("rot") == Codes{"unknown-name"});
  // A gate waits for something to be seen, never for its absence.
  CHECK(stage_with("until not wilting, at most 12 days").errors() == Codes{"gate-form"});
}

TEST_CASE("a condition that nobody looks at is a warning at its line") {
  const std::string condition = "if mould > 5 % and mould < 9 % on day 4 { warn \"x\" }";
  CHECK(stage_with(condition).found() == Codes{"unused-name 4:8", "unused-name 5:8"});
  const Reading unwatched(with_stage(declarations, condition));
  const Codes found = unwatched.found();
  CHECK(std::count(found.begin(), found.end(), "unwatched-gate 10:1") == 1);
  // What the condition itself makes people write down comes too late.
  const Reading late(
      with_stage(declarations, "if mould > 5 % on day 4 { do \"Count again\" { record mould } }"));
  const Codes late_found = late.found();
  CHECK(std::count(late_found.begin(), late_found.end(), "unwatched-gate 10:1") == 1);
}

TEST_CASE("no entry is a length of time in a stage that stands in a room") {
  const auto errors = [](const std::string& closure, const std::string& room = "room fog_house") {
    return Reading(with_stage("input hours = 5 h\n", "do \"Spray\" { " + closure + " }\n" + room))
        .errors();
  };
  CHECK(errors("no entry for 12 h after") == Codes{});
  CHECK(errors("no entry for 60 days after") == Codes{});
  CHECK(errors("no entry for hours * 2 after") == Codes{});
  CHECK(errors("no entry for 12 h after", "") == Codes{"no-room"});
  CHECK(errors("no entry for 12 h after", "room 5") == Codes{"syntax"});
  CHECK(errors("no entry for 1441 h after") == Codes{"out-of-range"});
  CHECK(errors("no entry for 0 h after") == Codes{"out-of-range"});
  CHECK(errors("no entry for 12 after") == Codes{"unit-mismatch"});
  CHECK(errors("no entry for 12 h after  no entry for 2 h after") == Codes{"duplicate-statement"});
  const Reading read(with_stage("", "do \"Spray\" { no entry for 12 h after }\nroom fog_house\n"));
  const language::Work& work = read.protocol().stages[0].works[0];
  REQUIRE(work.no_entry != language::no_formula);
  CHECK(read.protocol().node(work.no_entry).value == 12 * 3600);
}

TEST_CASE("every hazard has a caution, and tags bring theirs") {
  for (const std::string& hazard : language::hazard_names()) {
    INFO(hazard);
    CHECK_FALSE(language::usual_caution(hazard).empty());
  }
  CHECK(language::hazard_of_tag("sharps_disposal") == "sharps");
  CHECK(language::hazard_of_tag("spraying") == "toxic");
  CHECK(language::hazard_of_tag("lifting") == "heavy");
  CHECK(language::hazard_of_tag("cutting") == "blade");
  CHECK(language::hazard_of_tag("labelling").empty());
  const auto says = [](const char* hazard, const char* word) {
    return language::usual_caution(hazard).find(word) != std::string_view::npos;
  };
  CHECK(says("sharps", "puncture-proof"));
  CHECK(says("sharps", "never recap"));
  CHECK(says("sharps", "waste bag"));
  CHECK(says("electricity", "near water"));
}
