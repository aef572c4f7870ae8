#include "sheet/columns/stage_climate.hpp"

#include "climate/climate.hpp"
#include "sample.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;
using language::Half;
using language::Measure;

namespace {

constexpr double zero_celsius = 273.15;

/// A stage of ten days with these settings, another after it, and conditions of the protocol.
class Fogged {
 public:
  explicit Fogged(const std::string& settings, const std::string& more = "",
                  const std::string& length = "10 days")
      : sample_(protocol("stage fog of plant { lasts " + length + "\n" + settings +
                         "\ndo \"Look\" }\nstage bench of plant { lasts 4 days do \"Look\"\n" +
                         "keep air 21 degC keep humidity 60 % }\n" + more)),
        sheet_(sample_.sheet({batch()})) {}

  double on(Measure measure, int day, Half half = Half::both) const {
    return sheet_.climate(StageId(0), 0).value(measure, half, day - 1);
  }
  double degrees(int day, Half half = Half::both, Measure measure = Measure::air) const {
    return on(measure, day, half) - zero_celsius;
  }
  StageClimate climate() const { return sheet_.climate(StageId(0), 0); }
  double value(const std::string& name) const { return sample_.value(sheet_, name); }

 private:
  static BatchFacts batch() {
    BatchFacts facts;
    facts.plants = 100;
    facts.start = day("2027-03-01");
    return facts;
  }
  Sample sample_;
  Sheet sheet_;
};

}  // namespace

TEST_CASE("levels of a setting follow each other, each with its own days") {
  // The shape of a published schedule for a melon graft: air by day and by night and shade change
  // on different days (figures as in a Chinese grower text on melon grafting, secondary text).
  const Fogged fog(
      "keep air by day 25 to 30 degC until day 5, 30 to 32 degC until day 7, 28 to 30 degC\n"
      "keep air by night 18 to 20 degC until day 5, at least 15 degC until day 7, 13 degC\n"
      "keep shade 90 % until day 3, 50 % until day 8");
  CHECK(fog.degrees(1, Half::day) == doctest::Approx(27.5));
  CHECK(fog.degrees(5, Half::day) == doctest::Approx(27.5));
  CHECK(fog.degrees(6, Half::day) == doctest::Approx(31));
  CHECK(fog.degrees(8, Half::day) == doctest::Approx(29));
  CHECK(fog.degrees(5, Half::night) == doctest::Approx(19));
  CHECK(fog.degrees(7, Half::night) == doctest::Approx(15));
  CHECK(fog.degrees(10, Half::night) == doctest::Approx(13));
  CHECK(fog.degrees(1) == doctest::Approx((27.5 + 19) / 2));
  CHECK(fog.on(Measure::shade, 3) == doctest::Approx(0.9));
  CHECK(fog.on(Measure::shade, 4) == doctest::Approx(0.5));
  CHECK(std::isnan(fog.on(Measure::shade, 9)));
  CHECK(std::isnan(fog.on(Measure::humidity, 1)));
}

TEST_CASE("a taper goes evenly every day, or in equal steps of equal length") {
  const Fogged linear("taper humidity 95 % to 50 %");
  const Fogged steps("taper humidity 95 % to 50 % from day 2 to last day in 3 steps");
  const Fogged many("taper humidity 95 % to 50 % in 40 steps");
  for (int day = 1; day <= 10; ++day) {
    INFO(day);
    CHECK(linear.on(Measure::humidity, day) == doctest::Approx(0.95 - 0.05 * (day - 1)));
    CHECK(many.on(Measure::humidity, day) == doctest::Approx(linear.on(Measure::humidity, day)));
    const double step = day == 1 ? 0 : day <= 4 ? 0.95 : day <= 7 ? 0.725 : 0.5;
    if (day > 1) CHECK(steps.on(Measure::humidity, day) == doctest::Approx(step));
  }
  CHECK(std::isnan(steps.on(Measure::humidity, 1)));
}

TEST_CASE("of two statements for one day and half the later one counts") {
  const Fogged fog(
      "keep air 20 degC\nkeep air 30 degC by day from day 3 to day 4\nkeep air 25 degC on day 4");
  CHECK(fog.degrees(2, Half::day) == doctest::Approx(20));
  CHECK(fog.degrees(3, Half::day) == doctest::Approx(30));
  CHECK(fog.degrees(3, Half::night) == doctest::Approx(20));
  CHECK(fog.degrees(4, Half::day) == doctest::Approx(25));
  CHECK(fog.degrees(5, Half::day) == doctest::Approx(20));
}

TEST_CASE("what the plant feels follows from what is set, each half of the day by itself") {
  const Fogged fog(
      "keep air 30 degC by day\nkeep air 20 degC by night\nkeep humidity 80 %\n"
      "keep light 100 umol/m2/s for 12 h");
  const double day = climate::vapour_pressure_deficit(30 + zero_celsius, 0.8);
  const double night = climate::vapour_pressure_deficit(20 + zero_celsius, 0.8);
  CHECK(fog.on(Measure::vpd, 1, Half::day) == doctest::Approx(day));
  CHECK(fog.on(Measure::vpd, 1, Half::night) == doctest::Approx(night));
  // The deficits are averaged, not the temperatures (FAO-56, Eq. 12).
  CHECK(fog.on(Measure::vpd, 1) == doctest::Approx((day + night) / 2));
  CHECK(fog.degrees(1, Half::night, Measure::dew_point) ==
        doctest::Approx(climate::dew_point(20 + zero_celsius, 0.8) - zero_celsius));
  // 100 umol/m2/s for 12 h: 4.32 mol/m2 a day.
  CHECK(fog.on(Measure::light_sum, 1) * 86400 == doctest::Approx(4.32));
  CHECK(fog.on(Measure::photoperiod, 1) == doctest::Approx(12 * 3600));
}

TEST_CASE("a deficit that is set goes before one that is worked out") {
  const Fogged fog("keep air 25 degC\nkeep humidity 80 %\nkeep vpd 0.3 kPa by day until day 2");
  CHECK(fog.on(Measure::vpd, 1, Half::day) == doctest::Approx(300));
  CHECK(fog.on(Measure::vpd, 3, Half::day) ==
        doctest::Approx(climate::vapour_pressure_deficit(25 + zero_celsius, 0.8)));
}

TEST_CASE("a taper of mist takes the same share of the water every day") {
  // Ten days from 84 pulses (14 h by 10 min) to 4.67 (by 3 h): each day 84 / 4.67 to the power of a
  // ninth less, 1.379 times, in whole pulses.
  const Fogged tapered(
      "mist 6 s every 10 min from 06:00 to 20:00 on day 1\n"
      "taper mist every 10 min to 3 h from day 1 to last day");
  const int pulses[] = {84, 61, 44, 32, 23, 17, 12, 9, 6, 5};
  for (int day = 1; day <= 10; ++day) {
    CAPTURE(day);
    CHECK(tapered.on(Measure::mist_pulses, day) == pulses[day - 1]);
    CHECK(tapered.on(Measure::mist_time, day) == doctest::Approx(6.0 * pulses[day - 1]));
  }
}

TEST_CASE("mist: pulses and time a day, several programmes, across midnight") {
  // Common practice, no published source: 20 s every 45 min round the clock are 32 pulses and 640
  // s.
  const Fogged round("mist 20 s every 45 min");
  CHECK(round.on(Measure::mist_pulses, 1) == 32);
  CHECK(round.on(Measure::mist_time, 1) == doctest::Approx(640));
  const Fogged both(
      "mist 5 s every 10 min from 07:00 to 19:00\nmist 5 s every 1 h from 19:00 to 07:00\n"
      "mist 4 s every 30 min from 07:00 to 19:00 from day 4");
  CHECK(both.on(Measure::mist_pulses, 1) == 72 + 12);
  CHECK(both.on(Measure::mist_pulses, 4) == 24 + 12);
  CHECK(both.on(Measure::mist_time, 4) == doctest::Approx(24 * 4 + 12 * 5));
  const Fogged tapered(
      "mist 10 s every 30 min from 07:00 to 19:00 until day 3\n"
      "taper mist every 30 min to 4 h from day 4 to last day");
  CHECK(tapered.on(Measure::mist_pulses, 3) == 24);
  CHECK(tapered.on(Measure::mist_pulses, 4) == 24);
  CHECK(tapered.on(Measure::mist_pulses, 10) == 3);
}

TEST_CASE("formulas ask for the climate of a stage") {
  const Fogged fog(
      "keep air by day 24 degC until day 4, 28 degC\nkeep air by night 18 degC\n"
      "taper humidity 95 % to 50 %",
      "let first = fog.humidity.first\nlet final = fog.humidity.last\n"
      "let third = fog.humidity on day 3\nlet end = fog.humidity on last day\n"
      "let never = fog.humidity on day 40\nlet low = fog.air.lowest\n"
      "let high_night = fog.air.night.highest\nlet fall = fog.humidity.largest_fall\n"
      "let rise = fog.air.day.largest_rise\nlet jump = bench.humidity.step\n"
      "let vpd_step = bench.vpd.step\nlet none = fog.humidity.step\n");
  CHECK(fog.value("first") == doctest::Approx(0.95));
  CHECK(fog.value("final") == doctest::Approx(0.5));
  CHECK(fog.value("third") == doctest::Approx(0.85));
  CHECK(fog.value("end") == doctest::Approx(0.5));
  CHECK(std::isnan(fog.value("never")));
  CHECK(fog.value("low") == doctest::Approx(18 + zero_celsius));
  CHECK(fog.value("high_night") == doctest::Approx(18 + zero_celsius));
  CHECK(fog.value("fall") == doctest::Approx(0.05));
  CHECK(fog.value("rise") == doctest::Approx(4));
  CHECK(fog.value("jump") == doctest::Approx(0.1));
  const double before = (climate::vapour_pressure_deficit(28 + zero_celsius, 0.5) +
                         climate::vapour_pressure_deficit(18 + zero_celsius, 0.5)) /
                        2;
  CHECK(fog.value("vpd_step") ==
        doctest::Approx(climate::vapour_pressure_deficit(21 + zero_celsius, 0.6) - before));
  CHECK(std::isnan(fog.value("none")));
}

TEST_CASE("at a join the larger of the two steps counts, whichever part it is of") {
  const auto step = [](const std::string& scion_air, const std::string& stock_air) {
    const Sample sample(
        "protocol p { part scion part stock part graft\n"
        "stage a of scion { lasts 3 days keep air " +
        scion_air +
        " }\n"
        "stage b of stock { lasts 3 days keep air " +
        stock_air +
        " }\n"
        "stage g joins scion with stock into graft { lasts 5 days keep air 24 degC }\n"
        "let jump = g.air.step }");
    BatchFacts facts;
    facts.plants = 10;
    facts.start = day("2027-03-01");
    return sample.value(sample.sheet({facts}), "jump");
  };
  CHECK(step("22 degC", "15 degC") == doctest::Approx(9));
  CHECK(step("15 degC", "22 degC") == doctest::Approx(9));
  CHECK(step("30 degC", "22 degC") == doctest::Approx(-6));
}

TEST_CASE("of two programmes that share hours across midnight the later one counts") {
  const Fogged both(
      "mist 5 s every 1 h from 19:00 to 07:00\n"
      "mist 4 s every 30 min from 22:00 to 08:00 from day 4");
  CHECK(both.on(Measure::mist_pulses, 3) == 12);
  CHECK(both.on(Measure::mist_pulses, 4) == 20);
}

TEST_CASE("the length of a stage may rest on the climate of its first day, not of its last") {
  const auto lasting = [](const std::string& when) {
    return Sample(protocol("stage fog of plant { lasts (if fog.air." + when +
                           " > 18 degC then 6 days else 9 days) keep air 20 degC do \"Look\" }"));
  };
  CHECK(lasting("first").compiled());
  const Sample circle = lasting("last");
  CHECK_FALSE(circle.compiled());
  CHECK(circle.problems().starts_with("error formula-circle"));
}

TEST_CASE("a taper goes on from the taper before it, in its own hours") {
  const Fogged twice(
      "mist 10 s every 20 min from 07:00 to 19:00 until day 2\n"
      "taper mist 10 s to 4 s every 20 min to 60 min from day 3 to day 5\n"
      "taper mist every 60 min to 4 h from day 6 to last day");
  CHECK(twice.on(Measure::mist_time, 5) == doctest::Approx(12 * 4));
  CHECK(twice.on(Measure::mist_time, 6) == doctest::Approx(12 * 4));
  const Fogged both(
      "mist 5 s every 20 min from 07:00 to 19:00 until day 3\n"
      "mist 3 s every 90 min from 19:00 to 07:00\n"
      "taper mist every 20 min to 3 h from 07:00 to 19:00 from day 4 to last day");
  CHECK(both.on(Measure::mist_pulses, 3) == 36 + 8);
  CHECK(both.on(Measure::mist_pulses, 10) == 4 + 8);
}

TEST_CASE("the lowest and highest of what follows count the ends of ranges") {
  const Fogged fog("keep air 18 to 24 degC\nkeep humidity 90 to 95 %",
                   "let low = fog.vpd.lowest\nlet high = fog.vpd.highest\n"
                   "let dew = fog.dew_point.highest");
  CHECK(fog.value("low") ==
        doctest::Approx(climate::vapour_pressure_deficit(18 + zero_celsius, 0.95)));
  CHECK(fog.value("high") ==
        doctest::Approx(climate::vapour_pressure_deficit(24 + zero_celsius, 0.90)));
  CHECK(fog.value("dew") == doctest::Approx(climate::dew_point(24 + zero_celsius, 0.95)));
}
