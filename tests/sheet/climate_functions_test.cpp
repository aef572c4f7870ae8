#include "language/formulas/formula_checker.hpp"
#include "sample.hpp"
#include "sheet/sheet.hpp"
#include "units/units.hpp"

/// Published figures reached three ways: by a function of formulas, by what a stage keeps, and by
/// the library behind both. tests/climate holds the library against more of them.
using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

constexpr double kPa = 1000;
constexpr double gram = 1e-3;
constexpr double umol = 1e-6;

double degC(double value) {
  return value + climate::kelvin_at_0_celsius;
}

/// A protocol whose stage `stand` keeps these settings, and further statements.
std::string kept(const std::string& settings, const std::string& statements) {
  return protocol("stage stand of plant { lasts 10 days\n" + settings + "\n}\n" + statements);
}

/// Whether a `require` is met.
bool holds(const std::string& condition, const std::string& settings = "") {
  const std::string findings =
      Sample(kept(settings, "require " + condition + " else \"Not so.\"")).findings();
  INFO(condition, ": ", findings);
  if (!findings.empty()) REQUIRE(findings.rfind("error requirement ", 0) == 0);
  return findings.empty();
}

/// What a formula gives, in base units.
double value_of(const std::string& formula, const std::string& settings = "") {
  const Sample sample(kept(settings, "let asked = " + formula));
  return sample.value(sample.sheet({ready_by("2027-05-14")}), "asked");
}

/// The last bits may differ: formulas turn written units into base units by themselves.
bool nearly(double a, double b) {
  return std::abs(a - b) <= 1e-12 * std::max(std::abs(a), std::abs(b));
}

}  // namespace

TEST_CASE("a condition that is not so is told from one that is") {
  CHECK(holds("vpd(24.9 degC, 98 %) < 0.07 kPa"));
  CHECK_FALSE(holds("vpd(24.9 degC, 98 %) > 0.07 kPa"));
  CHECK_FALSE(holds("stand.vpd.first > 0.07 kPa", "keep air 24.9 degC  keep humidity 98 %"));
}

// Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56, Eq. 11: saturation at 15
// and 24.5 degC is 1.705 and 3.075 kPa (Example 3). Air without water lacks all of it.
TEST_CASE("formulas: vapour pressure deficit, FAO-56 Example 3") {
  CHECK(holds("vpd(15 degC, 0 %) between 1.7045 kPa and 1.7055 kPa"));
  CHECK(holds("vpd(24.5 degC, 0 %) between 3.0745 kPa and 3.0755 kPa"));
  CHECK(holds("vpd(59 degF, 0 %) between 17.045 hPa and 17.055 hPa"));
}

// Air of a closed healing chamber and under shade cloth: Johnson & Miles 2011, HortTechnology
// 21(6):752-758; deficits worked out with Eq. 11.
TEST_CASE("formulas: vapour pressure deficit of a healing chamber and of open shade") {
  CHECK(holds("vpd(24.9 degC, 98 %) between 0.062 kPa and 0.064 kPa"));
  CHECK(holds("vpd(23.3 degC, 52 %) between 1.371 kPa and 1.375 kPa"));
  const std::string chamber = "keep air 24.9 degC  keep humidity 98 %";
  const std::string shade = "keep air 23.3 degC  keep humidity 52 %";
  CHECK(holds("stand.vpd.first between 0.062 kPa and 0.064 kPa", chamber));
  CHECK(holds("stand.vpd.last between 1.371 kPa and 1.375 kPa", shade));
  const double closed = climate::vapour_pressure_deficit(degC(24.9), 0.98);
  CHECK(std::abs(closed / kPa - 0.063) < 0.001);
  CHECK(nearly(value_of("vpd(24.9 degC, 98 %)"), closed));
  CHECK(nearly(value_of("stand.vpd.first", chamber), closed));
  const double open = climate::vapour_pressure_deficit(degC(23.3), 0.52);
  CHECK(std::abs(open / kPa - 1.373) < 0.002);
  CHECK(nearly(value_of("vpd(23.3 degC, 52 %)"), open));
  CHECK(nearly(value_of("stand.vpd.last", shade), open));
}

// Alduchov & Eskridge 1996, J. Appl. Meteorol. 35:601-609: 25 degC at 60 % has 16.70 degC, 20 degC
// at 80 % has 16.44 degC; 73.11 degF at 90 % has 70 degF.
TEST_CASE("formulas: dew point") {
  CHECK(holds("dew_point(25 degC, 60 %) between 16.68 degC and 16.72 degC"));
  CHECK(holds("dew_point(20 degC, 80 %) between 16.42 degC and 16.46 degC"));
  CHECK(holds("dew_point(73.11 degF, 90 %) between 69.99 degF and 70.01 degF"));
  const std::string settings = "keep air 20 degC  keep humidity 80 %";
  CHECK(holds("stand.dew_point.first between 16.42 degC and 16.46 degC", settings));
  const double expected = climate::dew_point(degC(20), 0.80);
  CHECK(std::abs(expected - degC(16.44)) < 0.02);
  CHECK(nearly(value_of("dew_point(20 degC, 80 %)"), expected));
  CHECK(nearly(value_of("stand.dew_point.first", settings), expected));
}

// CRC Handbook of Chemistry and Physics, 62nd ed. 1981, saturated water vapour: 17.33 g/m3 at 20
// degC, 27.29 g/m3 at 28 degC; within half a percent.
TEST_CASE("formulas: water in the air") {
  CHECK(holds("absolute_humidity(20 degC, 100 %) between 17.25 g/m3 and 17.41 g/m3"));
  CHECK(holds("absolute_humidity(28 degC, 100 %) between 27.16 g/m3 and 27.42 g/m3"));
  const std::string settings = "keep air 28 degC  keep humidity 100 %";
  CHECK(holds("stand.absolute_humidity.first between 27.16 g/m3 and 27.42 g/m3", settings));
  const double expected = climate::absolute_humidity(degC(28), 1);
  CHECK(std::abs(expected / gram / 27.29 - 1) < 0.005);
  CHECK(nearly(value_of("absolute_humidity(28 degC, 100 %)"), expected));
  CHECK(nearly(value_of("stand.absolute_humidity.first", settings), expected));
}

// Torres & Lopez, Measuring Daily Light Integral in a Greenhouse, Purdue Extension HO-238-W: 0.0864
// mol/m2/day for each umol/m2/s of a whole day; a grid by the same rule has 17.28 for 300 umol/m2/s
// and 16 h, 21.6 for 500 and 12 h.
TEST_CASE("formulas: light sum") {
  CHECK(holds("light_sum(1 umol/m2/s, 24 h) between 0.08635 mol/m2/day and 0.08645 mol/m2/day"));
  CHECK(holds("light_sum(300 umol/m2/s, 16 h) = 17.28 mol/m2/day"));
  CHECK(holds("light_sum(500 umol/m2/s, 12 h) = 21.6 mol/m2/day"));
  const std::string hours = "keep light 300 umol/m2/s for 16 h";
  const std::string photoperiod = "keep light 300 umol/m2/s  keep photoperiod 16 h";
  CHECK(holds("stand.light_sum.first = 17.28 mol/m2/day", hours));
  CHECK(holds("stand.light_sum.last = 17.28 mol/m2/day", photoperiod));
  const double a_day = climate::light_sum(300 * umol, 16 * 3600);
  CHECK(std::abs(a_day - 17.28) < 1e-9);
  CHECK(nearly(value_of("light_sum(300 umol/m2/s, 16 h)"), a_day / units::seconds_a_day));
  CHECK(nearly(value_of("stand.light_sum.first", hours), a_day / units::seconds_a_day));
}

// Thimijan & Heins 1983, HortScience 18(6):818-822: lux for one umol/m2/s are 54 in sunlight, 82
// from high pressure sodium lamps, 74 from cool white tubes.
TEST_CASE("formulas: photon flux") {
  CHECK(holds("photon_flux(108 klx, sunlight) = 2000 umol/m2/s"));
  CHECK(holds("photon_flux(8200 lux, high_pressure_sodium) = 100 umol/m2/s"));
  CHECK(holds("photon_flux(7400 lux, cool_white_fluorescent) = 100 umol/m2/s"));
  // Purdue Extension HO-238-W: 500 foot-candles of sunlight are 99.8 umol/m2/s.
  CHECK(holds("photon_flux(500 fc, sunlight) between 99.5 umol/m2/s and 100.1 umol/m2/s"));
  // Oda 1995: grafts heal at 3 to 5 klx, in sunlight 56 to 93 umol/m2/s.
  CHECK(holds("photon_flux(3 klx, sunlight) between 54.6 umol/m2/s and 56.6 umol/m2/s"));
  CHECK(holds("stand.light.first between 91.6 umol/m2/s and 93.6 umol/m2/s",
              "keep light photon_flux(5 klx, sunlight) for 12 h"));
  // A widely copied table prints 40 800 lux for 200 umol/m2/s of sunlight; it is 10 800.
  CHECK(holds("photon_flux(10800 lux, sunlight) = 200 umol/m2/s"));
  CHECK_FALSE(holds("photon_flux(40800 lux, sunlight) = 200 umol/m2/s"));
}

TEST_CASE("formulas know the lamps of the library, each by its own factor") {
  const std::vector<climate::Lamp>& lamps = climate::lamps();
  std::vector<std::string> names;
  for (const climate::Lamp& lamp : lamps) names.emplace_back(lamp.name);
  CHECK(language::lamp_names() == names);
  for (const climate::Lamp& lamp : lamps) {
    CAPTURE(lamp.name);
    const double asked = value_of("photon_flux(4 klx, " + std::string(lamp.name) + ")");
    CHECK(nearly(asked, climate::photon_flux_from_lux(4000, lamp)));
  }
}

// University of California Statewide IPM, example of a scale insect: a day of 64 degF on average
// has 11 degree-days F above 53 degF. Brewster 2008, Onions and Other Vegetable Alliums, 2nd ed.,
// Eqns 4.6 and 4.7: onion needs 80 degree-days above 2.5 degC to germinate, 4 days at 22.5 degC.
TEST_CASE("formulas: degree-days of a kept temperature") {
  CHECK(holds("degree_days(64 degF, 53 degF, 1 day) = 11 degF_difference * 1 day"));
  CHECK(holds("degree_days(22.5 degC, 2.5 degC, 4 days) = 80 degree_days"));
  CHECK_FALSE(holds("degree_days(22.5 degC, 2.5 degC, 4 days) = 81 degree_days"));
  CHECK(holds("degree_days(stand.air.first, 2.5 degC, 4 days) = 80 degree_days",
              "keep air 22.5 degC"));
  CHECK(nearly(value_of("degree_days(22.5 degC, 2.5 degC, 4 days)"), 80 * climate::degree_day));
  // What is colder than the base takes nothing away.
  CHECK(holds("degree_days(2 degC, 2.5 degC, 4 days) = 0 degree_days"));
}

TEST_CASE("formulas: the days that a stage takes for a heat sum are those of the formula") {
  const Sample sample(protocol(
      "stage germinate of plant { lasts 80 degree_days above 2.5 degC  keep air 22.5 degC }"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-14")});
  CHECK(sample.value(sheet, "germinate.days") == 4);
}
