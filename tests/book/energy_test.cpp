#include <doctest/doctest.h>

#include "book/site/site.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;

namespace {

constexpr double kwh = 3.6e6;

std::string problems(const std::string& lines) {
  return joined(problems_of_site(small_site + lines));
}

}  // namespace

TEST_CASE("what energy costs, what a room loses, what its lamps take") {
  const Site site = site_of(
      "currency: EUR\n"
      "energy: {electricity: 0.24 EUR/kWh, heat: 0.09}\n"
      "rooms:\n"
      "  house: {holds: 216 m2, lets_in: 62 %, lamps: 1.7 umol/J, heat_loss: 4 W/m2/K of 320 m2}\n"
      "  cell: {holds: 30 trays, lets_in: 0 %, lamps: 48 W/m2, heat_loss: 900 W/K, area: 20 m2}\n");
  CHECK(*site.energy.electricity * kwh == doctest::Approx(0.24));
  CHECK(*site.energy.heat * kwh == doctest::Approx(0.09));
  const Room& house = site.rooms.at("house");
  CHECK(house.heat_loss->value == doctest::Approx(1280));
  CHECK(house.lets_in->value == doctest::Approx(0.62));
  CHECK(*house.lamps->efficacy == doctest::Approx(1.7e-6));
  CHECK(*site.area_of("house") == doctest::Approx(216));
  const Room& cell = site.rooms.at("cell");
  CHECK(cell.heat_loss->value == doctest::Approx(900));
  CHECK(*cell.lamps->power == doctest::Approx(48));
  CHECK(cell.lets_in->value == 0);
  CHECK(*site.area_of("cell") == doctest::Approx(20));
}

TEST_CASE("what is wrong with energy") {
  const auto room = [](const std::string& value) {
    return problems("rooms: {house: {" + value + "}}\n");
  };
  CHECK(room("lets_in: 62").find("Write `62 %`.") != std::string::npos);
  CHECK(room("lamps: 1.7").find("`lamps` wants what lamps give for the energy") !=
        std::string::npos);
  CHECK(room("lamps: 150 umol/J").find("No lamps are like that.") != std::string::npos);
  CHECK(room("heat_loss: 4 W/m2/K").find("`heat_loss` wants a loss factor of so much cover") !=
        std::string::npos);
  CHECK(room("heat_loss: -4 W/K").find("`heat_loss` wants") != std::string::npos);
  CHECK(room("area: 20 m").find("`area` wants an area") != std::string::npos);
  CHECK(problems("energy: {heat: 9 EUR/L}\n").find("`heat` wants what a kWh costs") !=
        std::string::npos);
  CHECK(problems("currency: EUR\nenergy: {heat: 9 USD/kWh}\n").find("other-currency") !=
        std::string::npos);
  CHECK(problems("energy: {gas: 0.1}\n").find("`gas`") != std::string::npos);
}

TEST_CASE("the water of a site") {
  const Site site = site_of(
      "water: {ec: 0.45 mS/cm, ph: 7.6, alkalinity: 210 mg/L, hardness: 240 ppm,"
      " acid: sulfuric 93 %}\n");
  REQUIRE(site.water);
  CHECK(site.water->ec->value == doctest::Approx(0.045));
  CHECK(site.water->alkalinity->value == doctest::Approx(0.21));
  CHECK(site.water->hardness->value == doctest::Approx(0.24));
  CHECK(site.water->acid->name == "sulfuric 93 %");
  CHECK(problems("water: {ec: 450}\n").find("`ec` wants a conductivity") != std::string::npos);
  CHECK(problems("water: {ec: 45 mS/cm}\n").find("can be from 0 to 10 mS/cm") != std::string::npos);
  CHECK(problems("water: {alkalinity: 21 g/L}\n").find("out-of-range") != std::string::npos);
  CHECK(problems("water: {ph: 74}\n").find("from 3 to 11") != std::string::npos);
  CHECK(problems("water: {acid: vinegar}\n").find("There are `sulfuric 93 %`") !=
        std::string::npos);
}

TEST_CASE("how much acid neutralizes alkalinity") {
  // Adjusting Alkalinity with Acids, University of Massachusetts Extension, Table 1: one fluid
  // ounce of 93 % sulfuric acid for 100 gallons neutralizes 136.0 mg/L of CaCO3, of 75 % phosphoric
  // acid 45.0.
  constexpr double ounce_for_100_gallons = 29.5735e-6 / 0.3785412;  // m3 for a m3
  const auto neutralized = [&](const char* name) {
    for (const Acid& one : acids()) {
      if (one.name == name) return one.strength * ounce_for_100_gallons * 0.05004 * 1e3;
    }
    return 0.0;
  };
  CHECK(neutralized("sulfuric 93 %") == doctest::Approx(136.0).epsilon(0.01));
  CHECK(neutralized("phosphoric 75 %") == doctest::Approx(45.0).epsilon(0.06));
  // About four fifths of the alkalinity have to be neutralized to come to pH 5.8.
  CHECK(neutralized_share(5.8) == doctest::Approx(0.8).epsilon(0.03));
  Water water;
  CHECK_FALSE(water.acid_for(5.8));
  water.alkalinity = Placed<double>{0.2, {}};
  water.acid = acids().front();
  CHECK(*water.acid_for(5.8) * 1e6 ==
        doctest::Approx(0.2 / 0.05004 * 0.78 / 34802 * 1e6).epsilon(0.01));
}
