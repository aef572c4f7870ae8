#include "climate/light.hpp"
#include "climate/refusal.hpp"

#include <algorithm>
#include <limits>

namespace budwood::climate {
namespace {

constexpr double umol = 1e-6;  // mol

bool is_amount(double value) {
  return value >= 0 && value < std::numeric_limits<double>::infinity();
}

double scaled(double amount, double factor) {
  return is_amount(amount) ? amount * factor : refused;
}

}  // namespace

const std::vector<Lamp>& lamps() {
  static constexpr std::string_view paper = "Thimijan & Heins 1983, HortScience 18(6):818-822";
  static constexpr std::string_view led_paper = "Sharakshane 2018, bioRxiv 289280";
  static const std::vector<Lamp> all = {
      {"sunlight", "Sun and sky", 54, 4.57, paper},
      {"blue_sky", "Blue sky without sun", 52, 4.24, paper},
      {"high_pressure_sodium", "High pressure sodium lamp", 82, 4.98, paper},
      {"metal_halide", "Metal halide lamp", 71, 4.59, paper},
      {"cool_white_fluorescent", "Cool white fluorescent tube", 74, 4.59, paper},
      {"incandescent", "Incandescent bulb", 50, 5.00, paper},
      {"white_led", "White light-emitting diode", 1000.0 / 15, refused, led_paper},
  };
  return all;
}

std::optional<Lamp> find_lamp(std::string_view name) {
  const auto found =
      std::find_if(lamps().begin(), lamps().end(), [&](const Lamp& l) { return l.name == name; });
  if (found == lamps().end()) return std::nullopt;
  return *found;
}

double photon_flux_from_lux(double lux, const Lamp& lamp) {
  return scaled(lux, umol / lamp.lux_per_umol);
}

double lux_from_photon_flux(double photon_flux, const Lamp& lamp) {
  return scaled(photon_flux, lamp.lux_per_umol / umol);
}

double photon_flux_from_watts(double watts, const Lamp& lamp) {
  return scaled(watts, umol * lamp.umol_per_joule);
}

double watts_from_photon_flux(double photon_flux, const Lamp& lamp) {
  return scaled(photon_flux, 1 / (umol * lamp.umol_per_joule));
}

double light_sum(double photon_flux, double duration) {
  return is_amount(duration) ? scaled(photon_flux, duration) : refused;
}

std::optional<LampTime> lamp_time(double wanted_light_sum, double sun_light_sum,
                                  double lamp_photon_flux) {
  if (!is_amount(wanted_light_sum) || !is_amount(sun_light_sum) || !is_amount(lamp_photon_flux)) {
    return std::nullopt;
  }
  const double missing = wanted_light_sum - sun_light_sum;
  if (missing <= 0) return LampTime{};
  if (lamp_photon_flux == 0) return std::nullopt;
  LampTime result;
  result.duration = missing / lamp_photon_flux;
  result.fits_in_a_day = result.duration <= 86400 * (1 + 1e-12);
  return result;
}

}  // namespace budwood::climate
