#include <doctest/doctest.h>

#include "language/model.hpp"
#include "reading.hpp"

using namespace reading;

namespace {

constexpr double day = 86400;

/// A protocol whose only stage holds these statements.
std::string only_stage(const std::string& statements) {
  return "protocol test {\npart plant\nstage stand of plant {\n" + statements + "\n}\n}\n";
}

double value(const Protocol& protocol, FormulaId id) {
  REQUIRE(id != language::no_formula);
  return protocol.node(id).value;
}

}  // namespace

TEST_CASE("a length is fixed, or a range with the usual one; units are borrowed along the range") {
  const Reading fixed(only_stage("lasts 5 days"));
  const Protocol& one = fixed.protocol();
  CHECK(value(one, one.stages[0].shortest) == 5 * day);
  CHECK(value(one, one.stages[0].usual) == 5 * day);
  CHECK(value(one, one.stages[0].longest) == 5 * day);

  const Reading range(only_stage("lasts 4 to 2 weeks usually 10 days"));
  CHECK(range.errors() == Codes{"out-of-order"});  // 4 weeks to 2 weeks
  const Reading borrowed(only_stage("lasts 4 to 7 days usually 5"));
  const Protocol& two = borrowed.protocol();
  CHECK(value(two, two.stages[0].shortest) == 4 * day);
  CHECK(value(two, two.stages[0].usual) == 5 * day);
  CHECK(value(two, two.stages[0].longest) == 7 * day);
}

TEST_CASE("lengths that cannot be are refused") {
  CHECK(Reading(only_stage("")).errors() == Codes{"no-length"});
  CHECK(Reading(only_stage("lasts 4 to 7 days")).errors() == Codes{"no-usual-length"});
  CHECK(Reading(only_stage("lasts 5")).errors() == Codes{"unit-mismatch"});
  for (const char* length : {"0 days", "-3 days", "20000 days", "-1 to 3 days usually 2 days"}) {
    CHECK(Reading(only_stage(std::string("lasts ") + length)).errors() == Codes{"out-of-range"});
  }
  CHECK(Reading(only_stage("lasts 4 to 7 days usually 8 days")).errors() == Codes{"out-of-order"});
  CHECK(Reading(only_stage("lasts 4 to 7 days usually 3 days")).errors() == Codes{"out-of-order"});
  CHECK(Reading(only_stage("lasts 4 days\nlasts 4 days")).errors() == Codes{"duplicate-statement"});
}

TEST_CASE("a length that could not be read is not missed as well") {
  CHECK(Reading(only_stage("lasts 4 dais")).errors() == Codes{"unknown-unit"});
  CHECK(Reading(only_stage("lasts 4 to\nroom bench")).errors() == Codes{"syntax"});
}

TEST_CASE("only written numbers are judged here; what is worked out is judged with the batch") {
  CHECK(Reading("protocol x {\ninput t = 0 days\npart p\nstage s of p { lasts t }\n}").errors() ==
        Codes{});
  CHECK(Reading("protocol x {\npart p\nstage s of p { lasts 2 days - 3 days }\n}").errors() ==
        Codes{});
}

TEST_CASE("waiting is to the next working day unless the stage says otherwise") {
  using Wait = Stage::Wait;
  CHECK(Reading(with("")).protocol().stages[0].wait == Wait::to_working_day);
  CHECK(Reading(with_stage("", "no wait")).protocol().stages[0].wait == Wait::none);
  const Reading read(with_stage("", "may wait 3 days"));
  CHECK(read.protocol().stages[0].wait == Wait::stated);
  CHECK(value(read.protocol(), read.protocol().stages[0].longest_wait) == 3 * day);
  CHECK(Reading(with_stage("", "may wait 3 days\nno wait")).errors() ==
        Codes{"duplicate-statement"});
  CHECK(Reading(with_stage("", "may wait -1 days")).errors() == Codes{"out-of-range"});
}

TEST_CASE("a loss is a share from nothing to just under all") {
  CHECK(Reading(with_stage("", "loses 8 %")).errors() == Codes{});
  CHECK(Reading(with_stage("", "loses 0 %")).errors() == Codes{});
  CHECK(Reading(with_stage("input take = 92 %", "loses 1 - take")).errors() == Codes{});
  CHECK(Reading(with_stage("", "loses 8")).errors() == Codes{"out-of-range"});
  CHECK(Reading(with_stage("", "loses 100 %")).errors() == Codes{"out-of-range"});
  CHECK(Reading(with_stage("", "loses -1 %")).errors() == Codes{"out-of-range"});
  CHECK(Reading(with_stage("", "loses 3 plants")).errors() == Codes{"unit-mismatch"});
}

TEST_CASE("space counts in its noun") {
  const auto noun = [](const std::string& space) {
    const Reading read(with_stage("", "space " + space));
    return read.protocol().stages[0].space.at(0).noun;
  };
  CHECK(noun("plants") == "plants");
  CHECK(noun("ceil(plants / 60) crates") == "crates");
  CHECK(noun("4 crates") == "crates");
  CHECK(noun("12 m2") == "m2");
  CHECK(Reading(with_stage("", "space 4 kg")).errors() == Codes{"unit-mismatch"});
  CHECK(Reading(with_stage("", "space -1 trays")).errors() == Codes{"out-of-range"});
}

TEST_CASE("space goes on from day to day, by density, for each plant, or in trays") {
  using Kind = language::Space::Kind;
  const std::string supply = "supply tray \"Tray\" in trays footprint 30 cm by 50 cm";
  const std::string work = "\ndo \"Sow\" on day 1 { time 1 h  use 1 tray per 72 }";
  const Reading read(
      with_stage(supply,
                 "space tray until day 2, ceil(plants / 60) tray, 60 plants per m2 from day 5, "
                 "15 cm by 20 cm from day 8" +
                     work));
  const std::vector<language::Space>& space = read.protocol().stages[0].space;
  REQUIRE(space.size() == 4);
  CHECK(space[0].kind == Kind::used);
  CHECK(space[0].noun == "trays");
  CHECK(space[1].kind == Kind::total);
  CHECK(space[1].from == 3);
  CHECK(space[2].kind == Kind::density);
  CHECK(space[2].from == 5);
  CHECK(value(read.protocol(), space[2].amount) == 60);
  CHECK(space[3].kind == Kind::each);
  CHECK(read.protocol().node(space[3].amount).operation == language::Operation::multiply);
  CHECK(language::footprint_of(read.protocol(), space[1]) == doctest::Approx(0.15));
  CHECK(language::space_on(read.protocol().stages[0], 4) == 1);
  CHECK(language::space_on(read.protocol().stages[0], 99) == 3);
}

TEST_CASE("where plants are spaced, work follows, unless the protocol has its own") {
  const std::string space = "space 60 plants per m2 from day 1, 25 per m2 from day 5";
  const Reading alone(with_stage("", space));
  const auto& works = alone.protocol().stages[0].works;
  REQUIRE(works.size() == 1);
  CHECK(works[language::WorkId(0)].title == "Space to 25 per m2");
  CHECK(works[language::WorkId(0)].spaces == 1);
  CHECK(value(alone.protocol(), works[language::WorkId(0)].rate) * 3600 == doctest::Approx(500));
  for (const char* days : {"on day 5", "on day 3 within 2 days", "every 2 days from day 1",
                           "between day 3 and day 6"}) {
    const Reading own(
        with_stage("", space + "\ndo \"Space\" " + days + " { rate 90 per hour  tagged spacing }"));
    CHECK(own.protocol().stages[0].works.size() == 1);
  }
  const Reading other(
      with_stage("", space + "\ndo \"Space\" on day 4 { rate 90 per hour  tagged spacing }"));
  CHECK(other.protocol().stages[0].works.size() == 2);
}

TEST_CASE("levels of space come in order, without gaps") {
  for (const char* days :
       {"60 per m2 from day 2", "60 per m2, 25 per m2",
        "60 per m2 until day 3, 25 per m2 from day 5", "60 per m2 on day 1, 25 per m2 from day 2",
        "60 per m2 over 3 days, 25 per m2", "60 per m2 until day 3",
        "60 per m2 until last day, 25 per m2 from day 3", "60 per m2 from last day"}) {
    CHECK(Reading(with_stage("", std::string("space ") + days)).errors() == Codes{"space-days"});
  }
  CHECK(Reading(with_stage("", "space 60 per m2 from day 1, 25 per m2 from day 1")).errors() ==
        Codes{"out-of-order"});
  CHECK(Reading(with_stage("", "space 60 per m2, 0 per m2 from day 2")).errors() ==
        Codes{"out-of-range"});
  CHECK(Reading(with_stage("", "space 60 per m2, 25 per m2 from day 999")).errors() == Codes{});
}

TEST_CASE("what goes by the m2 of a stage has to know which") {
  const std::string work = "\ndo \"Water\" DAYS { time 20 s per m2 }";
  const auto codes = [&](const std::string& space, const std::string& days) {
    std::string text = space + work;
    text.replace(text.find("DAYS"), 4, days);
    return Reading(with_stage("supply tray \"Tray\" in trays footprint 0.15 m2\n"
                              "supply pot \"Pot\" in pots",
                              text + "\ndo \"Fill\" { use 1 tray per 72  use 1 pot each }"))
        .errors();
  };
  const std::string spaced = "space 60 per m2 from day 1, 25 per m2 from day 5";
  CHECK(codes(spaced, "on day 2") == Codes{});
  CHECK(codes(spaced, "daily from day 5") == Codes{});
  CHECK(codes(spaced, "daily") == Codes{"space-days"});
  CHECK(codes("space tray", "daily") == Codes{});
  CHECK(codes("space ceil(plants / 72) trays", "daily") == Codes{});
  CHECK(codes("space pot", "daily") == Codes{"no-such-use"});
  CHECK(codes("space plants", "daily") == Codes{"no-such-use"});
}

TEST_CASE("a footprint is an area of what is counted") {
  const auto codes = [](const std::string& supply) {
    return Reading(with_stage("supply it \"It\" " + supply, "do \"Use\" { use 1 it each }"))
        .errors();
  };
  CHECK(codes("in trays footprint 28 cm by 54 cm") == Codes{});
  CHECK(codes("in trays footprint 0.15 m2 reused") == Codes{});
  CHECK(codes("in trays footprint 28 cm") == Codes{"unit-mismatch"});
  CHECK(codes("in trays footprint 28 by 54") == Codes{"unit-mismatch"});
  CHECK(codes("in trays footprint 2 m2 by 1 m2") == Codes{"unit-mismatch"});
  CHECK(codes("in trays footprint 0 m2") == Codes{"out-of-range"});
  CHECK(codes("in L footprint 0.15 m2") == Codes{"unit-mismatch", "unit-mismatch"});
}

TEST_CASE("days count from 1 and both ends belong to a span") {
  const Reading read(with_stage("",
                                "keep air 20 degC until day 3\n"
                                "taper humidity 95 % to 70 % from day 4 to last day\n"
                                "keep leaf 20 degC on day 2\n"
                                "keep vpd 0.5 kPa over 4 days"));
  const std::vector<language::Setting>& settings = read.protocol().stages[0].settings;
  REQUIRE(settings.size() == 4);
  CHECK(settings[0].from.day == 1);
  CHECK(settings[0].to.day == 3);
  CHECK_FALSE(settings[0].to.last);
  CHECK(settings[1].from.day == 4);
  CHECK(settings[1].to.last);
  CHECK(settings[1].last != language::no_formula);
  CHECK(settings[2].from.day == 2);
  CHECK(settings[2].to.day == 2);
  CHECK(value(read.protocol(), settings[3].over) == 4 * day);
}

TEST_CASE("settings take their own kind of value, in their range") {
  for (const char* good : {"air 5 degC by night", "humidity 95 %", "vpd 0.4 kPa", "co2 800 ppm",
                           "light 50 umol/m2/s for 12 h", "shade 60 %", "irrigation 4 L/m2/day"}) {
    CHECK(Reading(with_stage("", std::string("keep ") + good)).errors() == Codes{});
  }
  for (const char* kind : {"air 20", "air 5 degC_difference", "humidity 20 degC", "light 500 lux",
                           "humidity 90 % for 12 h", "light 50 umol/m2/s for 12"}) {
    CHECK(Reading(with_stage("", std::string("keep ") + kind)).errors() == Codes{"unit-mismatch"});
  }
  for (const char* range : {"air 200 degC", "humidity 95", "humidity -5 %", "co2 800",
                            "light 50 umol/m2/s for 30 h", "air 20 degC over -1 days"}) {
    CHECK(Reading(with_stage("", std::string("keep ") + range)).errors() == Codes{"out-of-range"});
  }
  CHECK(Reading(with_stage("", "keep temperature 20 degC")).errors() == Codes{"unknown-setting"});
}

TEST_CASE("a taper of mist keeps the pulse and the hours of the mist before it") {
  const Reading read(with_stage("",
                                "mist 10 s every 30 min from 07:00 to 19:30 until day 3\n"
                                "taper mist every 30 min to 4 h from day 4 to day 7\n"
                                "taper mist 10 s to 5 s every 4 h from day 8 to last day"));
  const std::vector<language::Mist>& mists = read.protocol().stages[0].mists;
  REQUIRE(mists.size() == 3);
  CHECK(mists[0].to_minute == 19 * 60 + 30);
  CHECK(mists[1].from_minute == 7 * 60);
  CHECK(mists[1].to_minute == 19 * 60 + 30);
  CHECK(value(read.protocol(), mists[1].pulse) == 10);
  CHECK(value(read.protocol(), mists[1].every_last) == 4 * 3600);
  CHECK(value(read.protocol(), mists[2].pulse_last) == 5);
  CHECK(mists[2].every_last == language::no_formula);
  CHECK(Reading(with_stage("", "taper mist every 30 min to 4 h")).errors() ==
        Codes{"taper-of-nothing"});
}

TEST_CASE("mist has its limits") {
  CHECK(Reading(with_stage("", "mist 0 s every 30 min")).errors() == Codes{"out-of-range"});
  CHECK(Reading(with_stage("", "mist 40 min every 30 min")).errors() == Codes{"out-of-order"});
  CHECK(Reading(with_stage("", "mist 5 s every 1 h from 19:00 to 19:00")).errors() ==
        Codes{"out-of-order"});
  CHECK(Reading(with_stage("", "mist 5 s every 1 h from 07:00 to 25:00")).errors() ==
        Codes{"no-such-time"});
  CHECK(Reading(with_stage("", "mist 5 s every 1 h from 00:00 to 24:00")).errors() == Codes{});
}

TEST_CASE("conditions of a stage know their stage, those of the protocol none") {
  const Reading read(
      with_stage("require stand.plants > 3 else \"a\"", "advise plants < 900 else \"b\""));
  const Protocol& protocol = read.protocol();
  REQUIRE(protocol.requirements.size() == 2);
  CHECK(protocol.requirements[0].stage == 0);
  CHECK(protocol.requirements[0].advice);
  CHECK(protocol.requirements[1].stage == Node::of_batch);
  CHECK_FALSE(protocol.requirements[1].advice);
}

TEST_CASE("light that does not say for how long goes on for as long as the light before it") {
  const auto hours = [](const std::string& statements) {
    const Reading read("protocol p \"P\" { part plant stage s of plant { lasts 10 days " +
                       statements + " } }");
    std::vector<double> out;
    for (const language::Setting& one : read.protocol().stages.front().settings) {
      if (one.name != "light") continue;
      out.push_back(
          one.hours == language::no_formula ? 0 : read.protocol().node(one.hours).value / 3600);
    }
    return out;
  };
  const std::string kept = "keep light 50 umol/m2/s for 12 h until day 4 ";
  CHECK(hours(kept + "taper light 50 umol/m2/s to 200 umol/m2/s from day 5") ==
        std::vector<double>{12, 12});
  CHECK(hours(kept + "taper light 50 umol/m2/s to 200 umol/m2/s for 14 h from day 5") ==
        std::vector<double>{12, 14});
  CHECK(hours(kept + "keep light 200 umol/m2/s from day 5") == std::vector<double>{12, 12});
  // A day length of its own says it for all.
  CHECK(hours("keep photoperiod 16 h " + kept + "keep light 200 umol/m2/s from day 5") ==
        std::vector<double>{12, 0});
}

TEST_CASE("a day length can be asked for where one is kept, or light for so many hours") {
  const auto errors = [](const std::string& statements) {
    return Reading(with_stage("advise stand.photoperiod.first <= 16 h else \"Too long a day.\"",
                              statements))
        .errors();
  };
  CHECK(errors("keep photoperiod 12 h").empty());
  CHECK(errors("keep light 50 umol/m2/s for 12 h").empty());
  // Light that is not said to go out has no day length.
  CHECK(errors("keep light 50 umol/m2/s") == Codes{"unset"});
}
