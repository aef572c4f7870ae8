#include "plan/settings/lamp_light.hpp"

#include <string>

#include "../day.hpp"
#include "plan/needs/needs.hpp"
#include "plan/orders/setting_orders.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

constexpr double mj = 1e6;
constexpr double hour = 3600;

/// A house at 52 degrees north that lets half of the daylight in, with lamps of 100 umol/m2/s.
struct House : Planned {
  explicit House(const std::string& settings, const std::string& ready = "2027-12-24")
      : Planned("protocol p { part plant  stage grow of plant { lasts 9 days  room house\n" +
                settings + " } }") {
    add("A", 10, ready);
    site().latitude = book::Placed<double>{52, {}};
    book::Room& room = site().rooms["house"];
    room.can = book::Abilities{};
    room.can->light = 100e-6;
    room.lets_in = book::Placed<double>{0.5, {}};
    set_radiation(2);
  }
  void set_radiation(double megajoules) {
    site().sky.usual = climate::Sky::Usual::radiation;
    site().sky.months.fill(megajoules * mj);
  }
  book::Room& room() { return site().rooms["house"]; }

  LampDay day(const std::string& date = "2027-12-18") {
    const auto settings = plan().settings.given({0, StageId(0)}, tests::day(date));
    const auto out = lamp_day(site(), "house", settings, tests::day(date));
    REQUIRE(out);
    return *out;
  }
  std::string told() {
    std::string out;
    for (const Conflict& one : plan().conflicts) out += one.code + " " + one.message + "\n";
    for (const Note& one : plan().notes) out += one.message + "\n";
    return out;
  }
};

}  // namespace

TEST_CASE("hours of lamps that nobody knows are not told as none") {
  House house("keep photoperiod 16 h");
  CHECK(house.day().seconds > 7 * hour);
  house.site().latitude.reset();
  CHECK(std::isnan(house.day().seconds));
}

TEST_CASE("a day of at least some hours does not limit the lamps") {
  House house("keep photoperiod at least 12 h  keep light_sum at least 6 mol/m2/day");
  CHECK(house.day().seconds > 10 * hour);
  CHECK(house.day().longest == 24 * hour);
}

TEST_CASE("lamps make up for what the sun does not bring") {
  // Need 12 mol/m2, sunlight gives 5, lamps of 100 umol/m2/s: 19.44 h. Torres & Lopez, Measuring
  // Daily Light Integral in a Greenhouse, Purdue Extension HO-238-W, rearranged.
  House house("keep light_sum at least 12 mol/m2/day");
  house.set_radiation(5 / (0.5 * 0.45 * 4.57));
  const LampDay day = house.day();
  CHECK(day.daylight == doctest::Approx(5));
  CHECK(day.wanted == doctest::Approx(12));
  CHECK(day.seconds / hour == doctest::Approx(19.44).epsilon(1e-3));
  CHECK(house.told() == "");
}

TEST_CASE("what lamps cannot reach in a day is a conflict") {
  // Need 17, sunlight gives 5, lamps of 90 umol/m2/s: 37.0 h, after the same source.
  House house("keep light_sum at least 17 mol/m2/day");
  house.set_radiation(5 / (0.5 * 0.45 * 4.57));
  house.room().can->light = 90e-6;
  CHECK(house.told().find("it asks for light sum at least 17 mol/m2/day, and the sun brings 5 "
                          "mol/m2 to the plants then; its lamps would have to burn for 37 h.") !=
        std::string::npos);
  CHECK(house.day().seconds == doctest::Approx(24 * hour));
  house.room().can->light = 140e-6;
  CHECK(house.told() == "");
}

TEST_CASE("lamps burn no longer than the photoperiod, and as long as the day is too short for it") {
  House house("keep photoperiod 16 h");
  // 7.5 h of day at 52 degrees north on 18 December: FAO-56, Eq. 24, 25 and 34.
  CHECK(house.day().seconds / hour == doctest::Approx(16 - 7.5).epsilon(0.01));
  House both("keep photoperiod 16 h  keep light_sum 7 mol/m2/day");
  both.room().can->light = 90e-6;
  CHECK(both.day().longest == doctest::Approx(16 * hour));
  CHECK(both.told().find("would have to burn for 18.4 h") == std::string::npos);
  both.set_radiation(1);
  CHECK(both.told().find("room-cannot") != std::string::npos);
}

TEST_CASE("a night break is on top") {
  House house("keep night_break 4 h");
  CHECK(house.day().seconds == doctest::Approx(4 * hour));
  House both("keep night_break 4 h  keep light_sum 4 mol/m2/day");
  const double for_sum = (4 - 2 * 0.5 * 0.45 * 4.57) / 100e-6;
  CHECK(both.day().seconds == doctest::Approx(for_sum + 4 * hour));
  CHECK(both.day().longest == doctest::Approx(20 * hour));
}

TEST_CASE("shade keeps daylight out; too much of it is told") {
  House house("keep light_sum at most 5 mol/m2/day  keep shade 40 %", "2027-06-25");
  house.set_radiation(18);
  const LampDay day = house.day("2027-06-20");
  CHECK(day.daylight == doctest::Approx(18 * 0.45 * 4.57 * 0.5 * 0.6));
  CHECK(day.seconds == 0);
  CHECK(day.too_much() == doctest::Approx(1 - 5 / day.daylight));
}

TEST_CASE("light for so many hours is a sum; without daylight lamps burn for just so long") {
  House house("keep light 80 umol/m2/s for 12 h");
  CHECK(house.day().wanted == doctest::Approx(80e-6 * 12 * hour));
  CHECK(house.day().seconds ==
        doctest::Approx((80e-6 * 12 * hour - house.day().daylight) / 100e-6));
  house.room().lets_in->value = 0;
  house.room().lamps = book::Room::Lamps{2e-6, {}, {}};
  CHECK(house.day().seconds == doctest::Approx(12 * hour));
  // 80 umol/m2/s at 2 umol/J are 40 W/m2.
  CHECK(house.day().energy == doctest::Approx(40 * 12 * hour));
  house.room().lamps = book::Room::Lamps{{}, 50, {}};  // at full strength, 100 umol/m2/s
  CHECK(house.day().energy == doctest::Approx(0.8 * 50 * 12 * hour));
}

TEST_CASE("light for so many hours that lamps cannot reach is told") {
  House house("keep light 120 umol/m2/s for 14 h");
  CHECK(house.told().find("room-cannot") == std::string::npos);  // with the sun it is just enough
  house.room().can->light = 20e-6;
  CHECK(house.told().find("its lamps would have to burn for") != std::string::npos);
  House dark("keep light 90 umol/m2/s for 16 h");
  dark.room().lets_in->value = 0;
  CHECK(dark.told().find("room-cannot") == std::string::npos);
  dark.room().can->light = 60e-6;
  CHECK(dark.told().find("its lamps would have to burn for 24 h") != std::string::npos);
}

TEST_CASE("what is not known is not told but named once") {
  House house("keep light_sum 6 mol/m2/day");
  house.add("B", 10, "2027-12-24");
  house.site().sky = {};
  CHECK(std::isnan(house.day().seconds));
  const std::string said = house.told();
  CAPTURE(said);
  CHECK(said ==
        "`grow` asks for a light sum, and it is not known how long lamps burn for it in `house`: "
        "site.yaml says nothing of `radiation`, `sunshine` or `sky` below `climate`.\n");
  house.room().lets_in.reset();
  CHECK(house.told().find("nothing of `lets_in` of the room and `radiation`") != std::string::npos);
}

TEST_CASE("light that starts water is the sum that is kept where the sun is not known") {
  const auto times = [](const std::string& sum) {
    House house(sum + "  irrigate 2 L/m2 at 3 mol of light");
    house.room().lets_in.reset();
    const auto settings = house.plan().settings.given({0, StageId(0)}, tests::day("2027-12-18"));
    return water_day(house.site(), "house", settings, tests::day("2027-12-18"))->times;
  };
  CHECK(times("keep light_sum 6 mol/m2/day") == doctest::Approx(2));
  // The sun may well bring more than the least.
  CHECK(std::isnan(times("keep light_sum at least 6 mol/m2/day")));
}

TEST_CASE("water by light under lamps whose hours nobody knows is told") {
  House house("keep photoperiod 16 h  irrigate 2 L/m2 at 3 mol of light");
  CHECK(house.told() == "");
  house.site().latitude.reset();
  CHECK(house.told().find("it is not known how much comes in `house`: site.yaml says nothing of "
                          "`latitude`.") != std::string::npos);
}

TEST_CASE("an order to set light says how long lamps burn, on its first day and at the end") {
  House house("keep light_sum at least 6 mol/m2/day");
  house.site().sky.months[0] = 1 * mj;
  const Plan plan = house.plan();
  const auto orders = setting_orders(plan);
  REQUIRE(!orders.empty());
  const SettingDetail detail = describe(plan, orders.front());
  REQUIRE(detail.lamps);
  CHECK(detail.lamps->first.seconds < detail.lamps->last.seconds);
}

TEST_CASE("a cover takes the ends of a day, which bring the least light") {
  House open("keep photoperiod at most 10 h", "2027-06-25");
  const LampDay whole = open.day("2027-06-18");
  CHECK(whole.dark == 0);
  House covered("keep photoperiod at most 10 h", "2027-06-25");
  covered.room().can->darkens = true;
  const LampDay cut = covered.day("2027-06-18");
  CHECK(cut.dark == doctest::Approx(14 * hour));
  CHECK(cut.seconds == 0);
  // Half a sine over 16.54 h of day at 52 degrees north (FAO-56, Eq. 34), its middle 10 h.
  CHECK(cut.daylight / whole.daylight ==
        doctest::Approx(std::sin(1.5708 * 10 / 16.54)).epsilon(0.003));
  House winter("keep photoperiod at most 10 h");
  winter.room().can->darkens = true;
  CHECK(winter.day().dark == 0);
  const Plan& plan = covered.plan();
  bool told = false;
  for (const auto& order : setting_orders(plan)) {
    const SettingDetail detail = describe(plan, order);
    told = told || (detail.lamps && detail.lamps->first.dark > 0);
  }
  CHECK(told);
}

TEST_CASE("water by light comes as often as the light of a day asks for it") {
  House house("irrigate 2 L/m2 at 3 mol of light");
  // FAO Irrigation and Drainage Paper 56, 1998, example 10: Rio de Janeiro, May, has 14.5 MJ/m2 a
  // day. 45 % of that at 4.57 umol/J is 29.8 mol/m2 outdoors, half of it is let in: 14.9 mol/m2,
  // 4.97 starts, 9.94 L/m2.
  house.set_radiation(14.5);
  const auto settings = house.plan().settings.given({0, StageId(0)}, tests::day("2027-12-18"));
  const auto water = water_day(house.site(), "house", settings, tests::day("2027-12-18"));
  REQUIRE(water);
  CHECK(water->times == doctest::Approx(4.97).epsilon(1e-3));
  CHECK(water->amount == doctest::Approx(9.94e-3).epsilon(1e-3));
  CHECK(house.told() == "");
  // Whoever waters by light asks for no lamps.
  CHECK(std::isnan(house.day().seconds));
}

TEST_CASE("water by light counts the light of lamps, and what shade takes") {
  // 1 mol/m2 of sun, and lamps for the other 5.
  House house("keep light_sum at least 6 mol/m2/day  irrigate 2 L/m2 at 3 mol of light");
  house.set_radiation(1 / (0.5 * 0.45 * 4.57));
  const auto on = [&] {
    const auto settings = house.plan().settings.given({0, StageId(0)}, tests::day("2027-12-18"));
    return water_day(house.site(), "house", settings, tests::day("2027-12-18"))->times;
  };
  CHECK(on() == doctest::Approx(2));
  House shaded("keep shade 40 %  irrigate 2 L/m2 at 3 mol of light");
  shaded.set_radiation(10 / (0.5 * 0.45 * 4.57));
  const auto settings = shaded.plan().settings.given({0, StageId(0)}, tests::day("2027-12-18"));
  CHECK(water_day(shaded.site(), "house", settings, tests::day("2027-12-18"))->times ==
        doctest::Approx(2));
}

TEST_CASE("water by light of which the light is not known is told, and set all the same") {
  House house("irrigate 2 L/m2 at 3 mol of light");
  house.room().lets_in.reset();
  CHECK(house.told() ==
        "`grow` is given water or feed by light, and it is not known how much comes in `house`: "
        "site.yaml says nothing of `lets_in` of the room.\n");
  const Plan& plan = house.plan();
  const SettingDetail order = describe(plan, setting_orders(plan).front());
  REQUIRE(order.changes.size() == 1);
  CHECK(describe(order.changes.front()) == "irrigation 2 L/m2 at each 3 mol/m2 of light");
  CHECK_FALSE(order.water);
}

TEST_CASE("of two statements for the water of a day the later one counts, by light or not") {
  House house("irrigate 2 L/m2 at 3 mol of light  keep irrigation 4 L/m2/day from day 4");
  const auto on = [&](const char* date) {
    const auto settings = house.plan().settings.given({0, StageId(0)}, tests::day(date));
    REQUIRE(settings.size() == 1);
    return describe(settings.front());
  };
  CHECK(on("2027-12-16") == "irrigation 2 L/m2 at each 3 mol/m2 of light");
  CHECK(on("2027-12-20") == "irrigation 4 L/m2/day");
}

TEST_CASE("a feed by light goes into orders, into its recipe and into needs") {
  Planned planned(R"(protocol p {
    supply powder "Powder" in g
    recipe feed "Feed" makes 10 L keeps 9 days { use 8 g powder }
    part plant
    stage grow of plant { lasts 9 days  room house
      do "Feed" on day 4, day 5 { time 5 min  use 30 mL feed per plant at 3 mol of light } }
  })");
  planned.add("A", 10, "2027-12-24");
  planned.site().rooms["house"].lets_in = book::Placed<double>{0.5, {}};
  planned.site().sky.usual = climate::Sky::Usual::radiation;
  // 12 mol/m2 at the plants: four starts of 10 times 30 mL.
  planned.site().sky.months.fill(12 / (0.5 * 0.45 * 4.57) * mj);
  const Plan& plan = planned.plan();
  REQUIRE(plan.orders.size() == 2);
  for (const WorkOrder& order : plan.orders) {
    const OrderDetail told = describe(plan, order);
    REQUIRE(told.supplies.size() == 1);
    CHECK(told.supplies.front().amount == doctest::Approx(1.2e-3));
  }
  double feed = 0;
  for (const SupplyNeed& one : total_needs(plan).supplies) {
    if (one.supply == "feed") feed = one.amount;
  }
  CHECK(feed == doctest::Approx(2.4e-3));
  REQUIRE(plan.makings.size() == 1);
  // Without the light an order takes it once.
  planned.site().rooms["house"].lets_in.reset();
  const Plan& unknown = planned.plan();
  CHECK(describe(unknown, unknown.orders.front()).supplies.front().amount ==
        doctest::Approx(0.3e-3));
}

TEST_CASE("in a room without daylight water by light goes by the light that is kept") {
  House house("keep light 60 umol/m2/s for 16 h  irrigate 2 L/m2 at 1 mol of light");
  house.room().lets_in = book::Placed<double>{0, {}};
  const auto times = [&] {
    const auto settings = house.plan().settings.given({0, StageId(0)}, tests::day("2027-12-18"));
    return water_day(house.site(), "house", settings, tests::day("2027-12-18"))->times;
  };
  CHECK(times() == doctest::Approx(60e-6 * 16 * hour));  // 3.456
  // How strong the lamps can be does not matter, nor whether that is said.
  house.room().can.reset();
  CHECK(times() == doctest::Approx(60e-6 * 16 * hour));
}

TEST_CASE("lamps of which nothing is said are told where water goes by their light") {
  House house("keep light_sum at least 12 mol/m2/day  irrigate 2 L/m2 at 3 mol of light");
  house.room().can.reset();
  CHECK(house.told().find("site.yaml says nothing of what the room `can` do, with its lamps") !=
        std::string::npos);
}
