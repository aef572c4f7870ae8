#pragma once

#include <iosfwd>
#include <optional>

#include "pictures/pictures.hpp"

namespace budwood::app {

/// What `plan --format svg` draws: a batch when one is named, else the season, or the settings.
struct PlanPicture {
  report::Filter filter;
  bool settings = false;

  /// What is asked for that no picture shows; "" when nothing is.
  std::string misuse() const;
  /// Says whether there was anything to draw.
  bool draw(std::ostream& out, const plan::Plan& plan) const;
};

}  // namespace budwood::app
