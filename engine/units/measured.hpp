#pragma once

#include "units/units.hpp"

namespace budwood::units {

/// What is poured, weighed or cut off for an amount: it rounded up to what a jug, a pair of scales
/// or a tape shows, two figures, of which the second goes by halves below 2: 495.7 mL are 500 mL,
/// 14.18 L are 14.5 L. Never less, and at most a twentieth more. What is counted, lasts or is paid
/// stays as it is. Common practice, no published source.
double measured(double base_value, const Unit& unit);

}  // namespace budwood::units
