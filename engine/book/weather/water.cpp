#include "book/weather/water.hpp"

#include <cmath>

namespace budwood::book {

const std::vector<Acid>& acids() {
  // Density in kg/m3, share by weight, kg/mol, protons: handbook values, from memory. Phosphoric
  // acid gives up one of its protons at the pH of a feed.
  const auto acid = [](const char* name, double density, double share, double molar, int protons) {
    return Acid{name, density * share / molar * protons};
  };
  static const std::vector<Acid> all{acid("sulfuric 93 %", 1835, 0.93, 0.09808, 2),
                                     acid("sulfuric 35 %", 1260, 0.35, 0.09808, 2),
                                     acid("phosphoric 75 %", 1579, 0.75, 0.09800, 1),
                                     acid("phosphoric 85 %", 1689, 0.85, 0.09800, 1),
                                     acid("nitric 38 %", 1234, 0.38, 0.06301, 1),
                                     acid("nitric 61 %", 1370, 0.61, 0.06301, 1)};
  return all;
}

double neutralized_share(double ph) {
  constexpr double carbonic = 6.35;
  return 1 / (1 + std::pow(10, ph - carbonic));
}

std::optional<double> Water::acid_for(double wanted) const {
  if (!acid || !alkalinity) return std::nullopt;
  constexpr double equivalent = 0.05004;  // kg of CaCO3 for a mole of protons
  return alkalinity->value / equivalent * neutralized_share(wanted) / acid->strength;
}

}  // namespace budwood::book
