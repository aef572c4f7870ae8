#pragma once

namespace budwood::climate {

/// Water vapour in air after FAO-56: Allen, Pereira, Raes & Smith 1998, Crop evapotranspiration,
/// FAO Irrigation and Drainage Paper 56. "Eq." below is the number of the equation there.
///
/// Temperatures are in kelvin, pressures in pascal, humidities are shares from 0 to 1. Refused,
/// with a NaN: temperatures outside 200 K to 373.15 K (the curve is for liquid water), humidities
/// outside 0 to 1, negative pressures.

/// 0 degC in kelvin (NIST SP 811, 2008).
inline constexpr double kelvin_at_0_celsius = 273.15;

/// Eq. 11. Within 0.15 % of handbook tables between 0 and 50 degC.
double saturation_vapour_pressure(double temperature);

/// Eq. 10 turned round: the vapour pressure of air at a temperature and humidity.
double vapour_pressure(double temperature, double humidity);

/// How much vapour the air could still take up: Eq. 11 less Eq. 10.
double vapour_pressure_deficit(double temperature, double humidity);

/// Eq. 11 solved for the temperature, for a vapour pressure above 0. One curve for both directions,
/// so that saturated air has its own temperature as dew point and a deficit is 0 exactly there.
/// Within 0.05 K of the Magnus curve of Alduchov & Eskridge 1996 (J. Appl. Meteorol.
/// 35:601-609; 17.625, 243.04 degC) for air of 0 to 45 degC and 50 to 100 % humidity.
double dew_point_at(double vapour_pressure);
double dew_point(double temperature, double humidity);

/// Mass of vapour in a volume of air, kg/m3: the ideal gas law with the molar gas constant (CODATA
/// 2018) and 18.015 g/mol for water. Within 0.5 % of handbook tables.
double absolute_humidity(double temperature, double humidity);

}  // namespace budwood::climate
