#include <doctest/doctest.h>

#include <algorithm>

#include "language/check/hazard.hpp"
#include "language/model.hpp"
#include "reading.hpp"

using namespace reading;
using language::Timing;

namespace {

/// A work of a stage of 10 days.
struct WorkReading {
  explicit WorkReading(const std::string& work, const std::string& declarations = "")
      : read(with_stage(declarations, work)) {}
  const language::Work& work() const { return read.protocol().stages[0].works.front(); }
  double value(FormulaId id) const {
    REQUIRE(id != language::no_formula);
    return read.protocol().node(id).value;
  }
  Reading read;
};

Timing timing_of(const std::string& when) {
  return WorkReading("do \"x\" " + when).work().timing;
}

Codes errors_of(const std::string& work, const std::string& declarations = "") {
  return WorkReading(work, declarations).read.errors();
}

}  // namespace

TEST_CASE("work is at the start of its stage unless it says otherwise") {
  CHECK(timing_of("").kind == Timing::Kind::start);
  CHECK(timing_of("").must);
  CHECK(timing_of("at start").kind == Timing::Kind::start);
}

TEST_CASE("work on days falls exactly there, or so many days later at most") {
  const Timing exact = timing_of("on day 3, last day");
  CHECK(exact.kind == Timing::Kind::days);
  REQUIRE(exact.days.size() == 2);
  CHECK(exact.days[0].day == 3);
  CHECK(exact.days[1].last);
  CHECK(exact.must);
  CHECK(exact.within == 0);
  const Timing later = timing_of("on day 3 within 2 days");
  CHECK(later.within == 2);
  CHECK(later.must);
}

TEST_CASE("repeated work may fall up to the eve of its next turn") {
  const Timing often = timing_of("every 3 days from day 2 to day 8");
  CHECK(often.kind == Timing::Kind::repeat);
  CHECK(often.interval == 3);
  CHECK(often.from.day == 2);
  CHECK(often.to.day == 8);
  CHECK(often.within == 2);
  CHECK_FALSE(often.must);  // a turn that finds no working day is left out
  CHECK(timing_of("every 1 week").interval == 7);
  CHECK(timing_of("every 1 week").to.last);
  CHECK(timing_of("every 1 week within 1 day").within == 1);
  CHECK(timing_of("every 1 week within 1 day").must);
  CHECK(timing_of("daily").interval == 1);
  CHECK(timing_of("daily").within == 0);
  CHECK(timing_of("daily until day 5").to.day == 5);
  CHECK(timing_of("daily from day 2 until last day").from.day == 2);
}

TEST_CASE("timings that cannot be are refused") {
  CHECK(errors_of("do \"x\" every 1.5 days") == Codes{"whole-days"});
  CHECK(errors_of("do \"x\" every 12 h") == Codes{"whole-days"});
  CHECK(errors_of("do \"x\" every 0 days") == Codes{"whole-days"});
  CHECK(errors_of("do \"x\" on day 3 within 5 h") == Codes{"whole-days"});
  CHECK(errors_of("do \"x\" every 3 days within 3 days") == Codes{"out-of-range"});
  CHECK(errors_of("do \"x\" daily within 1 day") == Codes{"out-of-range"});
  CHECK(errors_of("do \"x\" every 2 days from day 5 to day 3") == Codes{"out-of-order"});
  CHECK(errors_of("do \"x\" on day 0") == Codes{"whole-number"});
  CHECK(errors_of("do \"x\" on day 2.5") == Codes{"whole-number"});
  CHECK(errors_of("do \"x\" on day 2, day 3, day 2") == Codes{"duplicate-day"});
  CHECK(errors_of("do \"x\" every 3 L") == Codes{"unit-mismatch"});
}

TEST_CASE("labour: plants an hour, time, people, crew") {
  const WorkReading read("do \"x\" {\nrate 90 per hour\ntime 30 s each\npeople 2\ncrew potting\n}");
  CHECK(read.value(read.work().rate) == doctest::Approx(90.0 / 3600));
  CHECK(read.value(read.work().time) == 30);
  CHECK(read.work().time_share.each);
  CHECK(read.value(read.work().people) == 2);
  CHECK(read.work().crew == "potting");
  CHECK(errors_of("do \"x\" { rate 30 plants per hour }") == Codes{});
  CHECK(errors_of("do \"x\" { rate 30 }") == Codes{"unit-mismatch"});
  CHECK(errors_of("do \"x\" { rate 0 per hour }") == Codes{"out-of-range"});
  CHECK(errors_of("do \"x\" { time 0 min }") == Codes{"out-of-range"});
  CHECK(errors_of("do \"x\" { time -5 min }") == Codes{"out-of-range"});
  CHECK(errors_of("do \"x\" { people 0 }") == Codes{"out-of-range"});
  CHECK(errors_of("do \"x\" { crew a crew b }") == Codes{"duplicate-statement"});
  CHECK(errors_of("do \"\"") == Codes{"no-title"});
}

TEST_CASE("use takes a number, a number with a unit, or a formula in brackets") {
  const std::string supplies =
      "input splits = 4\nsupply mix in L\nsupply tray in trays\nsupply raffia in hanks\n";
  const auto use = [&](const std::string& amount) {
    return WorkReading("do \"x\" { use " + amount + " }", supplies);
  };
  const auto amount_of = [&](const std::string& amount) {
    const WorkReading read = use(amount);
    return read.value(read.work().uses.front().amount);
  };
  CHECK(amount_of("40 mL mix each") == doctest::Approx(40e-6));
  CHECK(amount_of("1 tray per 50") == 1);
  CHECK(amount_of("3 hanks raffia") == 3);
  CHECK(use("40 mL mix each").work().uses.front().share.each);
  const WorkReading per = use("1 tray per 50");
  CHECK(per.value(per.work().uses.front().share.per) == 50);
  CHECK_FALSE(per.work().uses.front().share.each);
  CHECK(use("(splits) tray").read.errors() == Codes{});
  CHECK(use("(2 * 3 L) mix").read.errors() == Codes{});

  CHECK(use("2 hanks tray").read.errors() == Codes{"unit-mismatch"});
  CHECK(use("5 mix").read.errors() == Codes{"unit-mismatch"});
  CHECK(use("5 kg mix").read.errors() == Codes{"unit-mismatch"});
  CHECK(use("0 L mix").read.errors() == Codes{"out-of-range"});
  CHECK(use("1 tray per 0").read.errors() == Codes{"out-of-range"});
  CHECK(use("1 tray per 3 days").read.errors() == Codes{"unit-mismatch"});
  CHECK(use("splits tray").read.errors() == Codes{"syntax"});
}

TEST_CASE("what is recorded may carry a unit, also a quotient") {
  const WorkReading read("do \"x\" { record grafted in plants record ec in mol/L record looks }");
  const auto& records = read.work().records;
  REQUIRE(records.size() == 3);
  CHECK(records[0].unit == "plants");
  CHECK(records[1].unit == "mol/L");
  CHECK(records[2].unit.empty());
  CHECK(errors_of("do \"x\" { record a in bottels }") == Codes{"unknown-unit"});
}

TEST_CASE("a hazardous supply brings its usual caution, and a warning when none is written") {
  const std::string alcohol = "supply alcohol in mL hazard flammable hazard flammable\n";
  const WorkReading bare("do \"x\" { use 5 mL alcohol }", alcohol);
  CHECK(bare.read.found() == Codes{"no-caution 7:10"});
  // The usual caution, once, and the deference to label and law.
  REQUIRE(bare.work().cautions.size() == 2);
  CHECK(bare.work().cautions[0] == language::usual_caution("flammable"));
  CHECK(bare.work().cautions[1] == language::caution_deference());

  const WorkReading said("do \"x\" { use 5 mL alcohol caution \"Mind the lamp.\" }", alcohol);
  CHECK(said.read.found() == Codes{});
  CHECK(said.work().cautions.front() == "Mind the lamp.");
  CHECK(said.work().cautions.size() == 3);
}

TEST_CASE("work tagged cutting meets a blade") {
  const WorkReading read("do \"x\" { tagged cutting, tying }");
  CHECK(read.work().tags == std::vector<std::string>{"cutting", "tying"});
  const auto& cautions = read.work().cautions;
  CHECK(std::find(cautions.begin(), cautions.end(), language::usual_caution("blade")) !=
        cautions.end());
}
