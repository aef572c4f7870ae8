#include "plan/settings/stage_settings.hpp"

#include <cmath>

#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// A stage in room `tent` that begins on Tuesday 1 June 2027, at a site where somebody is there
/// every day unless it is told otherwise.
class Tent {
 public:
  explicit Tent(int days, const std::string& climate)
      : planned_("protocol p { part plant\n  stage wet of plant { lasts " + std::to_string(days) +
                 " days  room tent\n" + climate + " } }") {
    planned_.site().working = calendar::WorkingDays();
    days_ = days;
  }

  book::Site& site() { return planned_.site(); }
  book::Dial dial(double step, const char* unit) const {
    return {step, {}, *units::find_unit(unit), {}};
  }

  std::vector<DaySetting> set(int day) { return settings().set(day - 1); }
  /// "84 65 50": pulses a day as asked for, or as set.
  std::string asked_pulses() { return pulses(false); }
  std::string set_pulses() { return pulses(true); }
  /// "10 15 20": minutes from pulse to pulse, as set.
  std::string intervals() {
    std::string out;
    for (int day = 1; day <= days_; ++day) {
      out += (day == 1 ? "" : " ") +
             units::format_number(mist_of(settings().set(day - 1))->first.interval / 60);
    }
    return out;
  }
  /// "90 85 85": a setting as set, in its own unit.
  std::string values(const std::string& name) {
    std::string out;
    for (int day = 1; day <= days_; ++day) {
      for (const DaySetting& one : settings().set(day - 1)) {
        if (one.name != name) continue;
        out += (day == 1 ? "" : " ") + units::format_number(one.unit.from_base(one.low), 4);
      }
    }
    return out;
  }
  std::optional<SteepFall> steepest() { return steepest_fall(settings()); }

 private:
  StageSettings settings() {
    if (plan_ == nullptr) {
      planned_.add("A", 10, calendar::iso_date(*calendar::parse_iso_date("2027-06-01") + days_));
      plan_ = &planned_.plan();
      REQUIRE(plan_->batches.front().dated);
    }
    return {planned_.site(), plan_->row_of(plan_->batches.front()), StageId(0)};
  }
  std::string pulses(bool as_set) {
    std::string out;
    for (int day = 1; day <= days_; ++day) {
      const auto now = as_set ? settings().set(day - 1) : settings().asked(day - 1);
      out += (day == 1 ? "" : " ") + std::to_string(mist_of(now)->pulses);
    }
    return out;
  }

  Planned planned_;
  const Plan* plan_ = nullptr;
  int days_ = 0;
};

const char* const long_taper =
    "mist 6 s every 10 min from 06:00 to 20:00 on day 1\n"
    "taper mist every 10 min to 3 h from day 1 to last day";

}  // namespace

TEST_CASE("a taper of mist asks for an equal share of the water of the day before") {
  // 14 h hold 84 stretches of 10 min and 4.67 of 3 h; the eleventh root of 84 / 4.67 is 1.3005, by
  // which 84 is divided again and again: 64.6, 49.7, 38.2, 29.4, 22.6, 17.4, 13.3, 10.3, 7.9, 6.1.
  Tent tent(12, long_taper);
  CHECK(tent.asked_pulses() == "84 65 50 38 29 23 17 13 10 8 6 5");
}

TEST_CASE("it is set in few steps that a timer has, none of them a cliff") {
  Tent tent(12, long_taper);
  CHECK(tent.intervals() == "10 15 15 20 30 40 40 60 90 120 120 180");
  CHECK_FALSE(tent.steepest().has_value());
  CHECK(tent.set(12).back().value() == "6 s every 3 h, 06:00 to 20:00");
}

TEST_CASE("a timer that has only some intervals is set to those") {
  Tent tent(12, long_taper);
  book::Dial list;
  list.unit = *units::find_unit("min");
  list.values = {10, 15, 20, 30, 45, 60, 90, 120, 180};
  tent.site().dials.interval = list;
  CHECK(tent.intervals() == "10 15 15 20 30 45 45 60 90 120 120 180");
  CHECK_FALSE(tent.steepest().has_value());
}

TEST_CASE("where the timer has no step between, the fall is told, and how large it is") {
  Tent tent(12, long_taper);
  book::Dial list;
  list.unit = *units::find_unit("min");
  list.values = {10, 30, 60, 180};
  tent.site().dials.interval = list;
  CHECK(tent.intervals() == "10 10 30 30 30 30 60 60 60 60 180 180");
  const auto fall = tent.steepest();
  REQUIRE(fall.has_value());
  CHECK(fall->from.interval == doctest::Approx(600));
  CHECK(fall->to.interval == doctest::Approx(1800));
  CHECK(fall->after / fall->before == doctest::Approx(28.0 / 84));
}

TEST_CASE("another pulse than the timer has is made up for by the interval") {
  Tent tent(4, "mist 6 s every 15 min from 06:00 to 20:00");
  tent.site().dials.pulse = tent.dial(10, "s");
  tent.site().dials.interval = tent.dial(5, "min");
  // 6 s every 15 min are 24 s an hour, as 10 s every 25 min.
  CHECK(tent.set(1).front().value() == "10 s every 25 min, 06:00 to 20:00");
}

TEST_CASE("pulse and interval may both go, and the water is even all the same") {
  Tent tent(9,
            "mist 9 s every 10 min on day 1\n"
            "taper mist 9 s to 5 s every 10 min to 40 min from day 1 to last day");
  CHECK_FALSE(tent.steepest().has_value());
  CHECK(tent.set(1).front().value() == "9 s every 10 min, day and night");
  CHECK(tent.set(9).front().value() == "5 s every 40 min, day and night");
  double before = 0;
  for (int day = 1; day <= 9; ++day) {
    const climate::MistProgramme mist = tent.set(day).front().mist;
    CHECK(std::fmod(mist.pulse, 1) == 0);
    CHECK(std::fmod(mist.interval, 300) == 0);
    const double water = mist.pulse / mist.interval;
    if (day > 1) CHECK(water <= before * (1 + 1e-9));
    before = water;
  }
}

TEST_CASE("other tapers go by what a dial has, from the first value to the last") {
  Tent tent(9,
            "taper humidity 92 % to 74 %\n  taper air 24 degC to 21 degC\n"
            "  taper light 60 umol/m2/s to 110 umol/m2/s for 14 h");
  CHECK(tent.values("humidity") == "92 90 90 85 85 80 80 74 74");
  CHECK(tent.values("air") == "24 24 23 23 22 22 22 21 21");
  CHECK(tent.values("light") == "60 60 80 80 80 80 110 110 110");
}

TEST_CASE("steps that are written are kept, on the marks of the dial") {
  Tent tent(9, "taper humidity 92 % to 74 % in 3 steps");
  CHECK(tent.values("humidity") == "92 92 92 85 85 85 74 74 74");
}

TEST_CASE("what a formula gives is put to the usual steps, what is written stands") {
  Tent tent(2, "keep air 20 degC + 1.7 degC_difference  keep humidity 83 %");
  CHECK(tent.values("air") == "22 22");
  CHECK(tent.values("humidity") == "83 83");
}

TEST_CASE("what a site says of its dials holds for what is written too") {
  Tent tent(3, "keep humidity 83 %  keep air 21.7 degC");
  CHECK(tent.values("humidity") == "83 83 83");
  tent.site().dials.measures[language::Measure::humidity] = tent.dial(5, "%");
  tent.site().rooms["tent"].dials.measures[language::Measure::air] = tent.dial(1, "degC");
  CHECK(tent.values("humidity") == "85 85 85");
  CHECK(tent.values("air") == "22 22 22");
}

TEST_CASE("settings change when somebody is there, or by timer") {
  // 5 and 6 June 2027 are a weekend: days 5 and 6 of the stage.
  Tent tent(13, long_taper);
  using calendar::Weekday;
  tent.site().working = calendar::WorkingDays(
      {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
      {});
  // From Friday to Sunday as on Friday; in nine steps that are left still none of more than a
  // third.
  CHECK(tent.intervals() == "10 15 20 30 30 30 40 60 90 120 180 180 180");
  CHECK_FALSE(tent.steepest().has_value());
  Tent timed(13, long_taper);
  timed.site().working = tent.site().working;
  timed.site().rooms["tent"].by_timer.settings = {"mist"};
  CHECK(timed.intervals() == "10 15 15 20 30 30 40 60 60 90 120 120 180");
}
