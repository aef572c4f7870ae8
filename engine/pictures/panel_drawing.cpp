#include "pictures/panel_drawing.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "pictures/frame.hpp"
#include "pictures/panel_scale.hpp"

namespace budwood::pictures {

namespace {

using drawing::Pen;
using drawing::Point;
using drawing::Rect;
using drawing::Svg;
using drawing::TextStyle;

constexpr double inset = 13;  ///< above and below the scale, for numbers at the curves
constexpr double name_height = 11;
constexpr double sample_width = 26;

const TextStyle panel_title_text{10, true};
const TextStyle unit_text{9.5};
const TextStyle tick_text{8, false, TextStyle::Anchor::end};
const TextStyle value_size{8.5};
const TextStyle name_text{9.5};

/// As curves follow each other in a panel.
constexpr std::array<Pen::Dash, 6> dashes = {Pen::Dash::none,        Pen::Dash::dashes,
                                             Pen::Dash::dots,        Pen::Dash::dash_dots,
                                             Pen::Dash::long_dashes, Pen::Dash::short_dashes};

Pen pen_of(std::size_t curve) {
  return {1.8, dashes[curve % dashes.size()]};
}

/// As fine as it is set.
std::string value_text(double value) {
  constexpr int digits = 3;
  return units::format_number(value, digits);
}

/// Days [begin, end) of a curve on which it has a value.
struct Run {
  std::size_t begin = 0, end = 0;
};

std::vector<Run> runs_of(const Curve& curve) {
  std::vector<Run> out;
  for (std::size_t i = 0; i < curve.low.size(); ++i) {
    if (std::isnan(curve.low[i])) continue;
    if (out.empty() || out.back().end != i) out.push_back({i, i});
    out.back().end = i + 1;
  }
  return out;
}

class PanelDrawing {
 public:
  PanelDrawing(Svg& svg, const Panel& panel, const Section& section, const drawing::DateAxis& axis,
               double top)
      : svg_(svg),
        panel_(panel),
        section_(section),
        axis_(axis),
        scale_(scale_of(panel)),
        top_(top) {}

  void draw() {
    draw_frame();
    for (std::size_t c = 0; c < panel_.curves.size(); ++c) draw_curve(c);
    draw_names();
    for (const Curve& curve : panel_.curves) draw_values(curve);
  }

 private:
  double bottom() const { return top_ + panel_height; }
  double x_of(std::size_t day) const {
    return axis_.x_of(axis_.days().first + static_cast<calendar::Day>(day));
  }
  double y_of(double value) const {
    return bottom() - inset - scale_.share(value) * (panel_height - 2 * inset);
  }

  void draw_frame() {
    double y = top_ + 22;
    for (const std::string& line :
         drawing::wrap_text(panel_.title, panel_indent - 48, 2, panel_title_text)) {
      svg_.text({margin, y}, line, panel_title_text);
      y += 13;
    }
    if (!panel_.unit.empty())
      svg_.text({margin, y}, cut(panel_.unit, panel_indent - 48, unit_text), unit_text);
    svg_.lines({{axis_.left(), bottom()}, {axis_.right(), bottom()}}, Pen{0.8});
    svg_.lines({{axis_.left(), top_}, {axis_.left(), bottom()}}, Pen{0.8});
    for (const double tick : scale_.ticks) {
      const double at = y_of(tick);
      svg_.lines({{axis_.left() - 4, at}, {axis_.left(), at}}, Pen{0.8});
      svg_.lines({{axis_.left(), at}, {axis_.right(), at}}, Pen{0.4, Pen::Dash::dots});
      svg_.text({axis_.left() - 6, at + 3}, units::format_number(tick, 4), tick_text);
    }
  }

  /// A step a day; the band of a range below its two lines.
  void draw_curve(std::size_t c) {
    const Curve& curve = panel_.curves[c];
    for (const Run& run : runs_of(curve)) {
      const std::vector<Point> low = steps(curve.low, run);
      const std::vector<Point> high = steps(curve.high, run);
      if (low == high) {
        svg_.lines(low, pen_of(c));
        continue;
      }
      std::vector<Point> around = high;
      around.insert(around.end(), low.rbegin(), low.rend());
      svg_.outline(around, {0.6, Pen::Dash::none, Pen::Fill::hatch});
      svg_.lines(high, pen_of(c));
      svg_.lines(low, pen_of(c));
    }
  }

  std::vector<Point> steps(const std::vector<double>& values, const Run& run) const {
    std::vector<Point> out;
    for (std::size_t i = run.begin; i < run.end; ++i) {
      const double y = y_of(values[i]);
      if (!out.empty() && out.back().y == y) {
        out.back().x = x_of(i + 1);
        continue;
      }
      out.push_back({x_of(i), y});
      out.push_back({x_of(i + 1), y});
    }
    return out;
  }

  /// To the right of the days, each at the height of its last value or as near as there is room.
  void draw_names() {
    std::vector<double> wanted;
    for (const Curve& curve : panel_.curves) {
      const std::size_t last = runs_of(curve).back().end - 1;
      wanted.push_back(y_of((curve.low[last] + curve.high[last]) / 2));
    }
    const std::vector<double> heights =
        drawing::spread(wanted, name_height, top_ + 8, bottom() - 6);
    for (std::size_t c = 0; c < heights.size(); ++c) {
      const double x = axis_.right() + 6;
      svg_.lines({{x, heights[c]}, {x + sample_width, heights[c]}}, pen_of(c));
      svg_.text({x + sample_width + 5, heights[c] + 3.3},
                cut(panel_.curves[c].name, panel_names - sample_width - 12, name_text), name_text);
    }
  }

  /// Numbers on the first and the last day of each stage, and where a curve turns flat or leaves
  /// it; those that would meet another text or a curve are left out.
  void draw_values(const Curve& curve) {
    for (const SettingsSpan& span : section_.spans) {
      const auto begin = static_cast<std::size_t>(span.first - axis_.days().first);
      if (span.days == 0 || std::isnan(curve.low[begin])) continue;
      const std::size_t end = begin + span.days;
      draw_value(curve, begin, begin, end, TextStyle::Anchor::start);
      if (curve.low[end - 1] != curve.low[begin] || curve.high[end - 1] != curve.high[begin]) {
        draw_value(curve, end - 1, begin, end, TextStyle::Anchor::end);
      }
    }
  }

  void draw_value(const Curve& curve, std::size_t day, std::size_t begin, std::size_t end,
                  TextStyle::Anchor anchor) {
    if (std::isnan(curve.low[day])) return;
    const double low = curve.low[day];
    const double high = curve.high[day];
    const std::string text =
        low == high ? value_text(low) : value_text(low) + " to " + value_text(high);
    const TextStyle style{value_size.size, false, anchor};
    const double x = anchor == TextStyle::Anchor::start ? x_of(day) + 3 : x_of(day + 1) - 3;
    for (const double y : {y_of(high) - 3, y_of(low) + 9.5}) {
      const Rect place = place_of({x, y}, text, style);
      if (place.x < x_of(begin) || place.right() > x_of(end) || meets_curve(place)) continue;
      if (!places_.take(place)) continue;
      svg_.text({x, y}, text, style);
      return;
    }
  }

  bool meets_curve(const Rect& place) const {
    for (const Curve& curve : panel_.curves) {
      for (std::size_t i = 0; i < curve.low.size(); ++i) {
        if (std::isnan(curve.low[i]) || x_of(i + 1) < place.x || x_of(i) > place.right()) continue;
        constexpr double line = 1;
        if (y_of(curve.high[i]) - line < place.bottom() - 2 &&
            y_of(curve.low[i]) + line > place.y + 1) {
          return true;
        }
      }
    }
    return false;
  }

  Svg& svg_;
  const Panel& panel_;
  const Section& section_;
  const drawing::DateAxis& axis_;
  PanelScale scale_;
  double top_;
  drawing::Places places_;
};

}  // namespace

void draw_panel(Svg& svg, const Panel& panel, const Section& section, const drawing::DateAxis& axis,
                double top) {
  PanelDrawing(svg, panel, section, axis, top).draw();
}

}  // namespace budwood::pictures
