#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "language/model.hpp"
#include "text/text.hpp"
#include "units/units.hpp"

namespace budwood::book {

/// What a dial or a timer can be set to: every multiple of a step, or the values of a list.
struct Dial {
  double step = 0;             ///< in `unit`; 0: `values` has them
  std::vector<double> values;  ///< in `unit`, ascending
  units::Unit unit;            ///< in which it is marked
  text::Span span;
};

/// The dials of a room or a site, as far as it says what they can be set to (`steps:`).
struct Dials {
  std::map<language::Measure, Dial> measures;
  std::optional<Dial> pulse;     ///< of mist: how long the valve stays open
  std::optional<Dial> interval;  ///< of mist: from pulse to pulse
};

/// What a room can do to the air and the plants in it, where the site says so.
struct Abilities {
  bool heats = false;
  bool cools = false;
  bool mists = false;
  bool bottom_heat = false;
  bool darkens = false;  ///< a cover shuts the daylight out
  double light = 0;      ///< of its lamps, mol/m2/s; 0: it has none
  text::Span span;
};

/// Settings of a room that change by themselves, on days on which nobody is there too.
struct Timers {
  bool all = false;
  std::vector<std::string> settings;  ///< "mist", "light", ...

  bool has(const std::string& setting) const;
};

}  // namespace budwood::book
