#pragma once

#include <string>
#include <vector>

#include "pictures/settings_panels.hpp"

namespace budwood::pictures {

/// The range of values that a panel shows, and round numbers within it. Private to this module.
struct PanelScale {
  double low = 0, high = 1;
  std::vector<double> ticks;

  /// The share of the panel's height at which a value lies, 0 at the bottom.
  double share(double value) const { return (value - low) / (high - low); }
};

PanelScale scale_of(const Panel& panel);

}  // namespace budwood::pictures
