#pragma once

#include <string>
#include <vector>

#include "drawing/svg.hpp"

namespace budwood::drawing {

/// What the lines and areas of a picture mean.
struct LegendEntry {
  enum class Sample { area, line, whisker, diamond, square, full_square };
  Pen pen;
  Sample sample = Sample::area;
  std::string text;
};

/// Samples with their words, in as many rows as a width needs.
class Legend {
 public:
  Legend(std::vector<LegendEntry> entries, double width);

  double height() const;
  /// `at` is the corner on top at the left.
  void draw(Svg& svg, const Point& at) const;

 private:
  std::vector<LegendEntry> entries_;
  std::vector<Point> places_;
};

}  // namespace budwood::drawing
