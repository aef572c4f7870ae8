#pragma once

namespace budwood::climate {

/// What the sun gives at a latitude (degrees, north positive) on a day of the year (1 to 366),
/// after Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56, chapter 3.

/// From sunrise to sunset, seconds (Eq. 34); 0 in the polar night, a day in the polar day.
double day_length(double latitude, int day_of_year);

/// Light sum outdoors on a clear day, mol/m2 between 400 and 700 nm: three quarters of what comes
/// to the top of the air (Eq. 21 and 37), half of it such light (common practice). Under glass or
/// film there is less, so it is more than any house has.
double clear_light_sum(double latitude, int day_of_year);

}  // namespace budwood::climate
