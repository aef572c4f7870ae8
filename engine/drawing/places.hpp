#pragma once

#include <vector>

#include "drawing/svg.hpp"

namespace budwood::drawing {

/// Remembers where text stands, so that no other text comes to lie over it.
class Places {
 public:
  /// Takes a place when it touches none that is taken.
  bool take(const Rect& place);

 private:
  std::vector<Rect> taken_;
};

/// The place of one line of text that is drawn at `at`.
Rect place_of(const Point& at, std::string_view text, const TextStyle& style);

/// Heights for lines of text below each other: each as near to the wanted one as the others allow
/// when all keep their order and stand `apart`, within `top` to `bottom` where there is room.
std::vector<double> spread(const std::vector<double>& wanted, double apart, double top,
                           double bottom);

}  // namespace budwood::drawing
