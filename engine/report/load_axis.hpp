#pragma once

#include "report/load_view.hpp"
#include "report/svg.hpp"

namespace budwood::report {

/// Months and ISO weeks over days of equal width. Private to this module.
class LoadAxis {
 public:
  static constexpr double height = 34;  ///< of the labels

  LoadAxis(const DayRange& days, double left, double day_width)
      : days_(days), left_(left), day_width_(day_width) {}

  /// A row of months over a row of weeks, from `top` on. Names that have no room are left out.
  void draw_labels(Svg& svg, double top) const;
  /// Where months begin.
  void draw_lines(Svg& svg, double top, double bottom) const;

 private:
  double x_of(calendar::Day day) const {
    return left_ + day_width_ * static_cast<double>(day - days_.first);
  }
  void draw_months(Svg& svg, double top) const;
  void draw_weeks(Svg& svg, double top) const;

  DayRange days_;
  double left_;
  double day_width_;
};

}  // namespace budwood::report
