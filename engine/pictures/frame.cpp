#include "pictures/frame.hpp"

#include <algorithm>
#include <ostream>

namespace budwood::pictures {

namespace {

using drawing::Pen;
using drawing::Point;
using drawing::Rect;
using drawing::Svg;
using drawing::TextStyle;

const TextStyle frame_title_text{16, true};
const TextStyle line_text{11};
constexpr double frame_title_height = 21;
constexpr double frame_line_height = 15;
constexpr std::size_t most_lines = 2;

}  // namespace

Head::Head(const std::string& title, const std::vector<std::string>& lines, double width)
    : title_(drawing::wrap_text(title, width - 2 * margin, most_lines, frame_title_text)) {
  for (const std::string& line : lines) {
    if (line.empty()) continue;
    const auto wrapped = drawing::wrap_text(line, width - 2 * margin, most_lines, line_text);
    lines_.insert(lines_.end(), wrapped.begin(), wrapped.end());
  }
}

double Head::height() const {
  constexpr double below = 8;
  return margin + frame_title_height * static_cast<double>(title_.size()) +
         frame_line_height * static_cast<double>(lines_.size()) + below;
}

void Head::draw(Svg& svg) const {
  double y = margin + frame_title_text.size;
  for (const std::string& line : title_) {
    svg.text({margin, y}, line, frame_title_text);
    y += frame_title_height;
  }
  y += frame_line_height - frame_title_height + 2;
  for (const std::string& line : lines_) {
    svg.text({margin, y}, line, line_text);
    y += frame_line_height;
  }
}

DayLines::DayLines(const drawing::DateAxis& axis, std::vector<DayLine> lines)
    : axis_(axis), lines_(std::move(lines)) {
  std::erase_if(lines_, [&](const DayLine& line) {
    return line.day < axis.days().first || line.day > axis.days().last;
  });
}

void DayLines::draw(Svg& svg, double top, double bottom) const {
  drawing::Places places;
  for (const DayLine& line : lines_) {
    const double x = axis_.x_of(line.day) + axis_.day_width() / 2;
    const Pen pen = line.strong ? Pen{2, Pen::Dash::dashes} : Pen{1};
    svg.lines({{x, top}, {x, bottom}}, pen);
    draw_name(svg, places, line, top + line_text.size - 1);
  }
}

void DayLines::draw_name(Svg& svg, drawing::Places& places, const DayLine& line,
                         double base) const {
  constexpr double gap = 4;
  const double x = axis_.x_of(line.day) + axis_.day_width() / 2;
  for (const bool after : {true, false}) {
    const TextStyle style{10, line.strong,
                          after ? TextStyle::Anchor::start : TextStyle::Anchor::end};
    const Point at{after ? x + gap : x - gap, base};
    const Rect place = place_of(at, line.name, style);
    if (place.x < margin || place.right() > axis_.right() || !places.take(place)) continue;
    svg.text(at, line.name, style);
    return;
  }
}

std::string outside_words(std::optional<calendar::Day> today, const drawing::DayRange& days) {
  if (!today || (*today >= days.first && *today <= days.last)) return "";
  return "Today, " + calendar::short_date(*today) + ", comes " +
         (*today < days.first ? "before" : "after") + " these days.";
}

void add_today(std::vector<DayLine>& lines, std::optional<calendar::Day> today) {
  if (today) lines.push_back({"today, " + calendar::short_date(*today), *today, true});
}

std::string cut(const std::string& text, double width, const TextStyle& style) {
  return drawing::wrap_text(text, width, 1, style).front();
}

void write_empty(std::ostream& out, const std::string& title, const std::string& reason) {
  constexpr double width = 640;
  const Head head(title, {reason}, width);
  Svg svg(out, width, head.height() + margin, title, reason);
  head.draw(svg);
}

}  // namespace budwood::pictures
