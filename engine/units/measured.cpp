#include "units/measured.hpp"

#include <cmath>

#include "units/rounding.hpp"

namespace budwood::units {

namespace {

bool has_marks(const Dimension& dimension) {
  return dimension == length || dimension == area || dimension == volume || dimension == mass;
}

}  // namespace

double measured(double base_value, const Unit& unit) {
  const double shown = unit.from_base(base_value);
  if (!has_marks(unit.dimension) || !(shown > 0) || !std::isfinite(shown)) return base_value;
  const double power = std::pow(10, std::floor(std::log10(shown) + rounding_slack));
  const double step = shown < 2 * power ? power / 20 : power / 10;
  return unit.to_base(round_up(shown / step) * step);
}

}  // namespace budwood::units
