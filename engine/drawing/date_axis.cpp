#include "drawing/date_axis.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::drawing {

namespace {

using calendar::Day;

const TextStyle month_text{11, true};
const TextStyle week_text{8, false, TextStyle::Anchor::middle};
const Pen thin{0.8};
const Pen faint{0.6, Pen::Dash::dots};

/// "March".
std::string month_name(const calendar::Date& date) {
  const std::string text = calendar::describe(calendar::YearDay{date.month, 1});
  return text.substr(text.find(' ') + 1);
}

}  // namespace

void DateAxis::draw_labels(Svg& svg, double top) const {
  draw_months(svg, top + 12);
  draw_weeks(svg, top + 26);
  svg.lines({{left_, top + height}, {x_of(days_.last + 1), top + height}}, thin);
}

void DateAxis::draw_months(Svg& svg, double top) const {
  for (const DayRange& month : months_of(days_)) {
    const calendar::Date date = calendar::date_of(month.first);
    const std::string name = month_name(date);
    const double room = x_of(month.last + 1) - x_of(month.first) - 4;
    for (const std::string& text :
         {name + " " + std::to_string(date.year), name, name.substr(0, 3), name.substr(0, 1)}) {
      if (text_width(text, month_text) > room) continue;
      svg.text({x_of(month.first) + 2, top}, text, month_text);
      break;
    }
  }
}

void DateAxis::draw_weeks(Svg& svg, double top) const {
  const double room = 7 * day_width_;
  const double need = text_width("W53", week_text) + 6;
  const auto every = static_cast<unsigned>(std::max(1.0, std::ceil(need / room)));
  unsigned number = 0;
  for (const DayRange& week : weeks_of(days_)) {
    const double x = x_of(week.first);
    const bool starts = calendar::weekday(week.first) == calendar::Weekday::monday;
    if (starts) svg.lines({{x, top + 2}, {x, top + 8}}, thin);
    // Every so many are labelled, those that are whole.
    if (number++ % every != 0 || !starts || week.size() < 7) continue;
    const std::string text = calendar::iso_week_text(week.first).substr(5);
    svg.text({x + room * every / 2, top + 5}, text, week_text);
  }
}

void DateAxis::draw_dates(Svg& svg, double top) const {
  const double base = top + dates_height - 4;
  if (day_width_ > text_width("30", week_text) + 4) {
    for (Day day = days_.first; day <= days_.last; ++day) {
      const std::string text = std::to_string(calendar::date_of(day).day);
      svg.text({x_of(day) + day_width_ / 2, base}, text, week_text);
    }
    return;
  }
  const TextStyle style{week_text.size};
  double taken = left_;
  for (Day day = days_.first; day <= days_.last; ++day) {
    if (calendar::weekday(day) != calendar::Weekday::monday) continue;
    const std::string text = calendar::iso_date(day).substr(5);
    const double x = x_of(day) + 2;
    const double end = x + text_width(text, style);
    if (x < taken || end > right()) continue;
    svg.text({x, base}, text, style);
    taken = end + 4;
  }
}

void DateAxis::draw_week_lines(Svg& svg, double top, double bottom) const {
  for (const DayRange& week : weeks_of(days_)) {
    const double x = x_of(week.first);
    svg.lines({{x, top}, {x, bottom}}, Pen{0.4, Pen::Dash::dots});
  }
}

void DateAxis::draw_lines(Svg& svg, double top, double bottom) const {
  for (const DayRange& month : months_of(days_)) {
    const double x = x_of(month.first);
    svg.lines({{x, top}, {x, bottom}}, faint);
  }
}

}  // namespace budwood::drawing
