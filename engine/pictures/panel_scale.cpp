#include "pictures/panel_scale.hpp"
#include "units/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace budwood::pictures {

namespace {

/// 1, 2 or 5 times a power of ten, so that a range has at most three steps of it.
double round_step(double range) {
  const double least = range / 3;
  const double power = std::pow(10, std::floor(std::log10(least)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    // Powers of ten are not exact.
    if (factor * power >= least - units::slack(least, 0)) return factor * power;
  }
  return 10 * power;
}

}  // namespace

PanelScale scale_of(const Panel& panel) {
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (const Curve& curve : panel.curves) {
    for (std::size_t i = 0; i < curve.low.size(); ++i) {
      if (std::isnan(curve.low[i])) continue;
      low = std::min(low, curve.low[i]);
      high = std::max(high, curve.high[i]);
    }
  }
  if (panel.from_zero) low = std::min(low, 0.0);
  // A flat curve shows how it is not far from flat.
  constexpr double least_range = 0.1;
  const double largest = std::max(std::abs(low), std::abs(high));
  const double least = largest > 0 ? least_range * largest : 1;
  if (high - low < least) {
    const double middle = (low + high) / 2;
    low = panel.from_zero && low >= 0 ? 0 : middle - least / 2;
    high = low + std::max(least, high - low);
  }
  const double step = round_step(high - low);
  PanelScale out;
  out.low = std::floor(low / step) * step;
  out.high = std::ceil(high / step) * step;
  for (double tick = out.low; tick <= out.high + step / 2; tick += step) out.ticks.push_back(tick);
  return out;
}

}  // namespace budwood::pictures
