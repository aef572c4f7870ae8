#pragma once

#include "drawing/svg.hpp"

/// Small signs that stand for one thing on one day.
namespace budwood::drawing {

/// From one place to another, with a stroke across at each end.
void draw_whisker(Svg& svg, double from, double to, double y, const Pen& pen);
void draw_diamond(Svg& svg, const Point& middle);
/// A small square.
void draw_mark(Svg& svg, const Point& middle, bool full);

}  // namespace budwood::drawing
