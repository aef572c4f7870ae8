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

/// Eq. 13: the slope of Eq. 11, in Pa/K.
double saturation_slope(double temperature);

/// Eq. 12: the mean of the two pressures, not the pressure at the mean temperature, which is lower.
double mean_saturation_vapour_pressure(double minimum, double maximum);

/// Eq. 10 turned round: the vapour pressure of air at a temperature and humidity.
double vapour_pressure(double temperature, double humidity);

/// Eq. 17: from the day's extremes; the highest humidity goes with the lowest temperature.
double vapour_pressure_from_extremes(double minimum, double maximum, double lowest_humidity,
                                     double highest_humidity);

/// Eq. 19: when only the mean humidity of the day is known.
double vapour_pressure_from_mean_humidity(double minimum, double maximum, double mean_humidity);

/// Eq. 16, the coefficient of the instrument in 1/K: Asmann type with about 5 m/s of air, natural
/// ventilation of about 1 m/s, and none, indoors.
inline constexpr double psychrometer_ventilated = 0.000662;
inline constexpr double psychrometer_natural = 0.000800;
inline constexpr double psychrometer_indoors = 0.001200;

/// Eq. 15 with Eq. 16: from a dry and a wet bulb. Refused when the wet bulb is the warmer one, or
/// so much colder that no vapour would be left.
double vapour_pressure_from_wet_bulb(double dry_bulb, double wet_bulb, double pressure,
                                     double coefficient = psychrometer_ventilated);

/// Eq. 10: humidity of air that holds this vapour pressure; above 1 when the air would be foggy.
double relative_humidity(double temperature, double vapour_pressure);

/// How much vapour the air could still take up: Eq. 11 less Eq. 10.
double vapour_pressure_deficit(double temperature, double humidity);

/// The deficit at a leaf that is warmer or colder than the air; negative when dew forms on it.
double leaf_vapour_pressure_deficit(double leaf_temperature, double air_temperature,
                                    double humidity);

/// The humidity that gives a wanted deficit. Refused when even dry air does not reach it.
double humidity_for_deficit(double temperature, double deficit);

/// Eq. 11 solved for the temperature, for a vapour pressure above 0. One curve for both directions,
/// so that saturated air has its own temperature as dew point and a deficit is 0 exactly there.
/// Within 0.05 K of the Magnus curve of Alduchov & Eskridge 1996 (J. Appl. Meteorol.
/// 35:601-609; 17.625, 243.04 degC) for air of 0 to 45 degC and 50 to 100 % humidity.
double dew_point_at(double vapour_pressure);
double dew_point(double temperature, double humidity);

/// Mass of vapour in a volume of air, kg/m3: the ideal gas law with the molar gas constant (CODATA
/// 2018) and 18.015 g/mol for water. Within 0.5 % of handbook tables.
double absolute_humidity(double temperature, double humidity);

/// Eq. 7: usual air pressure at a height in metres. Refused outside -500 m to 9000 m.
double pressure_at_altitude(double altitude);

/// Eq. 8: the psychrometric constant in Pa/K at an air pressure.
double psychrometric_constant(double pressure);

}  // namespace budwood::climate
