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

double photon_flux_from_watts(double watts, const Lamp& lamp) {
  return scaled(watts, umol * lamp.umol_per_joule);
}

double light_sum(double photon_flux, double duration) {
  return is_amount(duration) ? scaled(photon_flux, duration) : refused;
}

}  // namespace budwood::climate
