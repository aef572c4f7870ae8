#pragma once

#include <optional>
#include <string_view>
#include <vector>

namespace budwood::climate {

/// Light in photons, lux and watts.
///
/// A photon flux (PPFD, 400 to 700 nm) is in mol/m2/s: 100 umol/m2/s is 1e-4. An illuminance is in
/// lux; a foot-candle is a unit of illuminance and comes in as 10.76391 lux. Refused, with a NaN:
/// negative amounts of light or time.

/// What one lamp, or the sky, gives for each photon. How many lux a photon is worth depends on the
/// spectrum, so nothing converts between them without naming the light.
struct Lamp {
  std::string_view name;      ///< "sunlight", "high_pressure_sodium", ...
  std::string_view title;     ///< "Sunlight", "High pressure sodium lamp", ...
  double lux_per_umol = 0;    ///< lux for 1 umol/m2/s
  double umol_per_joule = 0;  ///< umol/m2/s for 1 W/m2 between 400 and 700 nm; NaN where unknown
  std::string_view source;    ///< where the factors were published
};

/// The lamps that have a name, factors after Thimijan & Heins 1983, HortScience 18(6):818-822, save
/// the white light-emitting diode: Sharakshane 2018 (15 umol/m2/s per klx; no factor for watts).
const std::vector<Lamp>& lamps();

/// By name; nothing when there is no such lamp.
std::optional<Lamp> find_lamp(std::string_view name);

double photon_flux_from_lux(double lux, const Lamp& lamp);

/// Watts are those of photosynthetically active radiation (400 to 700 nm) on a square metre, W/m2.
double photon_flux_from_watts(double watts, const Lamp& lamp);

/// Light sum (daily light integral) in mol/m2: a photon flux held for a time in seconds. Torres &
/// Lopez, Measuring Daily Light Integral in a Greenhouse, Purdue Extension HO-238-W.
double light_sum(double photon_flux, double duration);

}  // namespace budwood::climate
