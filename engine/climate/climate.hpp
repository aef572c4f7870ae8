/// The climate as the plant feels it: water vapour, light, heat sums, chilling and mist.
///
/// Pure functions on doubles in coherent SI base units: kelvin, pascal, second, metre, mole, lux,
/// and shares from 0 to 1. An argument that a function refuses gives a NaN (or nothing, where an
/// optional is returned), so that a column of values can carry the refusal on; nothing here throws.
#pragma once

#include "climate/accumulation.hpp"
#include "climate/chilling.hpp"
#include "climate/light.hpp"
#include "climate/mist.hpp"
#include "climate/series.hpp"
#include "climate/sunlight.hpp"
#include "climate/thermal_time.hpp"
#include "climate/vapour.hpp"
