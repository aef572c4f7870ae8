#include "climate/vapour.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "test_units.hpp"

using namespace budwood::climate;
using namespace budwood::climate::test;

namespace {
constexpr double kPa = 1000;
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

/// The Magnus curve of Alduchov & Eskridge 1996, J. Appl. Meteorol. 35:601-609.
double magnus_dew_point(double temperature, double humidity) {
  const double t = to_degC(temperature);
  const double power = std::log(humidity) + 17.625 * t / (243.04 + t);
  return degC(243.04 * power / (17.625 - power));
}
}  // namespace

TEST_CASE("saturation vapour pressure, FAO-56 Eq. 11") {
  // FAO-56, Example 3.
  CHECK(within(saturation_vapour_pressure(degC(15)) / kPa, 1.705, 0.001));
  CHECK(within(saturation_vapour_pressure(degC(24.5)) / kPa, 3.075, 0.001));
  // FAO-56, Example 5 and Annex 2, Table 2.3.
  CHECK(within(saturation_vapour_pressure(degC(18)) / kPa, 2.064, 0.001));
  CHECK(within(saturation_vapour_pressure(degC(20)) / kPa, 2.338, 0.001));
  // CRC Handbook of Chemistry and Physics, 1992-93: 3.169 kPa at 25 degC.
  CHECK(within(saturation_vapour_pressure(degC(25)) / kPa / 3.169, 1, 0.0015));
}

TEST_CASE("a misprint in a copied table is seen") {
  // CRC Handbook 1992-93, one copy: 6.6398 kPa at 38 degC for 6.6298; its neighbours are 6.2795
  // (37) and 6.9969 (39).
  const double at_38 = saturation_vapour_pressure(degC(38)) / kPa;
  CHECK(within(at_38 / 6.6298, 1, 0.0015));
  CHECK_FALSE(within(at_38 / 6.6398, 1, 0.0015));
  const auto second_difference = [](double middle) { return 6.2795 - 2 * middle + 6.9969; };
  const double smooth =
      (saturation_vapour_pressure(degC(37)) - 2 * saturation_vapour_pressure(degC(38)) +
       saturation_vapour_pressure(degC(39))) /
      kPa;
  CHECK(within(second_difference(6.6298), smooth, 0.001));
  CHECK_FALSE(within(second_difference(6.6398), smooth, 0.001));
}

TEST_CASE("vapour pressure deficit") {
  // A study of grafted watermelon: below 0.76 kPa above 80 % at 28 degC.
  CHECK(within(vapour_pressure_deficit(degC(28), 0.80) / kPa, 0.756, 0.002));
  // Johnson & Miles 2011, HortTechnology 21(6):752-758: 24.9 degC at 98 % in the closed
  // chamber, 23.3 degC at 52 % under shade cloth; deficits recomputed with Eq. 11.
  CHECK(within(vapour_pressure_deficit(degC(24.9), 0.98) / kPa, 0.063, 0.001));
  CHECK(within(vapour_pressure_deficit(degC(23.3), 0.52) / kPa, 1.373, 0.002));
  CHECK(vapour_pressure_deficit(degC(22), 1) == 0);
}

TEST_CASE("water in the air") {
  // CRC Handbook, 62nd ed. 1981, saturated water vapour: 17.33 g/m3 and 23.40 mbar at 20
  // degC, 27.29 g/m3 at 28 degC.
  CHECK(within(absolute_humidity(degC(20), 1) * 1000 / 17.33, 1, 0.005));
  CHECK(within(saturation_vapour_pressure(degC(20)) / 100 / 23.40, 1, 0.005));
  CHECK(within(absolute_humidity(degC(28), 1) * 1000 / 27.29, 1, 0.005));
}

TEST_CASE("dew point") {
  // Alduchov & Eskridge 1996: 25 degC at 60 % has 16.70 degC, 20 degC at 80 % has 16.44 degC.
  CHECK(within(to_degC(dew_point(degC(25), 0.60)), 16.70, 0.02));
  const double at_80 = to_degC(dew_point(degC(20), 0.80));
  CHECK(within(at_80, 16.44, 0.02));
  // Lawrence 2005, Bull. Am. Meteorol. Soc. 86:225-233: about 1 degC for every 5 % below 100 %.
  CHECK(within(at_80, 20 - (100 - 80) / 5.0, 1));
  // A worked example with the 1996 constants: dew point 70 degF at 90 % is air of 73.11 degF.
  CHECK(within(to_degF(dew_point(degF(73.11), 0.90)), 70, 0.01));
  // Saturated air is at its dew point.
  for (double t = 0; t <= 50; t += 2.5) CHECK(within(dew_point(degC(t), 1), degC(t), 1e-9));
}

TEST_CASE("dew point stays near the Magnus curve") {
  double worst = 0;
  for (double t = 0; t <= 45; t += 1) {
    for (double humidity = 0.50; humidity <= 1; humidity += 0.05) {
      const double difference = dew_point(degC(t), humidity) - magnus_dew_point(degC(t), humidity);
      worst = std::max(worst, std::abs(difference));
    }
  }
  CHECK(worst < 0.05);
}

TEST_CASE("bad arguments give a NaN") {
  CHECK(std::isnan(saturation_vapour_pressure(20)));  // 20 degC given without its offset
  CHECK(std::isnan(saturation_vapour_pressure(400)));
  CHECK(std::isnan(saturation_vapour_pressure(not_a_number)));
  CHECK(std::isnan(vapour_pressure_deficit(degC(20), 1.01)));
  CHECK(std::isnan(vapour_pressure_deficit(degC(20), -0.01)));
  CHECK(std::isnan(vapour_pressure_deficit(degC(20), 80)));  // percent given as a share
  CHECK(std::isnan(vapour_pressure(not_a_number, 0.5)));
  CHECK(std::isnan(dew_point(degC(20), 0)));
  CHECK(std::isnan(dew_point_at(-5)));
  CHECK(std::isnan(absolute_humidity(degC(20), 2)));
}
