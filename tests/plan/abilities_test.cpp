#include <string>

#include "book/batches/batch.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

struct Tunnel : Planned {
  explicit Tunnel(const std::string& settings, const std::string& ready = "2027-12-24")
      : Planned("protocol p { part plant  stage grow of plant { lasts 9 days  room tunnel\n" +
                settings + " } }") {
    add("A", 10, ready);
    site().rooms["tunnel"].can = book::Abilities{};
    site().latitude = book::Placed<double>{52, {}};
  }
  book::Abilities& can() { return *site().rooms["tunnel"].can; }

  std::string conflicts() {
    std::string out;
    for (const Conflict& one : plan().conflicts) out += one.code + " " + one.message + "\n";
    return out;
  }
  bool can_all() { return conflicts().empty(); }
};

}  // namespace

TEST_CASE("light for longer than a winter day needs lamps") {
  Tunnel tunnel("keep light 150 umol/m2/s for 14 h");
  // 7.53 h of day at 52 degrees north on 15 December: FAO-56, Eq. 24, 25 and 34.
  const std::string told = tunnel.conflicts();
  CAPTURE(told);
  CHECK(told.find("room-cannot `grow` of `A` stands in room `tunnel`, which cannot do it: on Wed "
                  "2027-12-15 it asks for light 150 umol/m2/s for 14 h, and the day is 7.53 h long "
                  "then.\n") != std::string::npos);
  tunnel.can().light = 150e-6;
  CHECK(tunnel.can_all());
}

TEST_CASE("lamps that a taper wants are told once, by the most that it wants") {
  Tunnel tunnel("taper light 60 umol/m2/s to 148 umol/m2/s for 14 h");
  REQUIRE(tunnel.plan().conflicts.size() == 1);
  const Conflict& one = tunnel.plan().conflicts.front();
  CHECK(one.message.find("on Thu 2027-12-23 it asks for light 148 umol/m2/s for 14 h") !=
        std::string::npos);
  CHECK(texts_of(one.repairs).front().find("`lights up to 150 umol/m2/s`") != std::string::npos);
  tunnel.can().light = 150e-6;
  CHECK(tunnel.can_all());
}

TEST_CASE("so does more light than a clear day brings; in summer the sun does it") {
  const char* const bright = "keep light 500 umol/m2/s for 7 h";
  Tunnel winter(bright);
  CHECK(winter.conflicts().find("even a clear day brings no more than") != std::string::npos);
  Tunnel summer(bright, "2027-06-25");
  CHECK(summer.can_all());
}

TEST_CASE("shade is no matter of lamps") {
  CHECK(Tunnel("keep light at most 150 umol/m2/s").can_all());
}

TEST_CASE("mist and warmth below need what gives them") {
  Tunnel tunnel("mist 6 s every 20 min  keep root_zone 22 degC");
  const std::string told = tunnel.conflicts();
  CHECK(told.find("it asks for mist.") != std::string::npos);
  CHECK(told.find("it asks for root zone 22 degC.") != std::string::npos);
  tunnel.can().mists = true;
  tunnel.can().bottom_heat = true;
  CHECK(tunnel.can_all());
}

TEST_CASE("air that is warmer or colder than outdoors needs heating or cooling") {
  const auto outdoors = [](double kelvin) {
    std::vector<climate::SeriesRow> rows;
    for (calendar::Day day = *calendar::parse_iso_date("2027-12-01"); rows.size() < 40; ++day) {
      rows.push_back({day, {kelvin - 3, kelvin + 3}});
    }
    return std::make_shared<const climate::DailySeries>(*climate::DailySeries::from_rows(rows));
  };
  Tunnel tunnel("keep air 16 degC");
  CHECK(tunnel.conflicts().find("it asks for air 16 degC.") != std::string::npos);
  tunnel.site().climate = outdoors(273.15 + 3);
  CHECK(tunnel.conflicts().find("air 16 degC, and outdoors it is 3 degC on average then") !=
        std::string::npos);
  tunnel.can().heats = true;
  CHECK(tunnel.can_all());
  tunnel.site().climate = outdoors(273.15 + 25);
  CHECK_FALSE(tunnel.can_all());
  tunnel.can().cools = true;
  CHECK(tunnel.can_all());
}

TEST_CASE("batches of one protocol are told together, rooms of which nothing is said not at all") {
  Tunnel tunnel("mist 6 s every 20 min");
  tunnel.add("B", 10, "2027-12-31");
  REQUIRE(tunnel.plan().conflicts.size() == 1);
  CHECK(tunnel.plan().conflicts.front().others == std::vector<std::string>{"B"});
  tunnel.site().rooms["tunnel"].can.reset();
  CHECK(tunnel.can_all());
}

TEST_CASE("a shorter day than the sun's needs a cover, or a room without windows") {
  // 7.53 h of day at 52 degrees north on 15 December, 16.5 h on 15 June: FAO-56, Eq. 24, 25, 34.
  for (const char* const asked : {"at most 7 h", "6 to 7 h"}) {
    Tunnel winter("keep photoperiod " + std::string(asked));
    CHECK(winter.conflicts().find("and the day is 7.53 h long then.") != std::string::npos);
  }
  CHECK(Tunnel("keep photoperiod at most 8 h").can_all());
  CHECK(Tunnel("keep photoperiod 7 h").can_all());  // held as well as usual, within an hour
  Tunnel summer("keep photoperiod 10 h", "2027-06-25");
  const Plan& plan = summer.plan();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(texts_of(plan.conflicts.front().repairs).front().find("add `darkens` to `can`") !=
        std::string::npos);
  summer.site().rooms["tunnel"].lets_in = book::Placed<double>{0, {}};
  CHECK(summer.conflicts().find("darkens") == std::string::npos);
  summer.site().rooms["tunnel"].lets_in.reset();
  summer.can().darkens = true;
  CHECK(summer.can_all());
}

TEST_CASE("a longer day and a broken night need lamps, however weak") {
  Tunnel longer("keep photoperiod 14 h");
  CHECK(longer.conflicts().find("it asks for photoperiod 14 h, and the day is 7.53 h long then.") !=
        std::string::npos);
  longer.can().light = 10e-6;
  CHECK(longer.can_all());
  CHECK(Tunnel("keep photoperiod at least 14 h", "2027-06-25").can_all());
  Tunnel broken("keep night_break 4 h", "2027-06-25");
  CHECK(broken.conflicts().find("it asks for night break 4 h.") != std::string::npos);
  broken.can().light = 10e-6;
  CHECK(broken.can_all());
}
