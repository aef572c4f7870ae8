#pragma once

#include "drawing/day_range.hpp"
#include "drawing/svg.hpp"

namespace budwood::drawing {

/// Months and ISO weeks over days of equal width.
class DateAxis {
 public:
  static constexpr double height = 34;  ///< of the labels

  DateAxis(const DayRange& days, double left, double day_width)
      : days_(days), left_(left), day_width_(day_width) {}

  /// A row of months over a row of weeks, from `top` on. Names that have no room are left out.
  void draw_labels(Svg& svg, double top) const;
  /// A row of dates, `dates_height` high: the days of the month where each has room, else Mondays.
  static constexpr double dates_height = 13;
  void draw_dates(Svg& svg, double top) const;
  /// Where months begin.
  void draw_lines(Svg& svg, double top, double bottom) const;
  /// Where weeks begin.
  void draw_week_lines(Svg& svg, double top, double bottom) const;

  /// Where a day begins.
  double x_of(calendar::Day day) const {
    return left_ + day_width_ * static_cast<double>(day - days_.first);
  }
  const DayRange& days() const { return days_; }
  double left() const { return left_; }
  double right() const { return x_of(days_.last + 1); }
  double day_width() const { return day_width_; }

 private:
  void draw_months(Svg& svg, double top) const;
  void draw_weeks(Svg& svg, double top) const;

  DayRange days_;
  double left_;
  double day_width_;
};

}  // namespace budwood::drawing
