#include "report/load_axis.hpp"

#include <cmath>

namespace budwood::report {

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

/// The parts of a range that lie in one month each.
std::vector<DayRange> months_of(const DayRange& days) {
  std::vector<DayRange> out;
  for (Day day = days.first; day <= days.last; ++day) {
    if (out.empty() || calendar::date_of(day).day == 1) out.push_back({day, day});
    out.back().last = day;
  }
  return out;
}

}  // namespace

void LoadAxis::draw_labels(Svg& svg, double top) const {
  draw_months(svg, top + 12);
  draw_weeks(svg, top + 26);
  svg.lines({{left_, top + height}, {x_of(days_.last + 1), top + height}}, thin);
}

void LoadAxis::draw_months(Svg& svg, double top) const {
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

void LoadAxis::draw_weeks(Svg& svg, double top) const {
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

void LoadAxis::draw_lines(Svg& svg, double top, double bottom) const {
  for (const DayRange& month : months_of(days_)) {
    const double x = x_of(month.first);
    svg.lines({{x, top}, {x, bottom}}, faint);
  }
}

}  // namespace budwood::report
