#include <algorithm>
#include <cmath>
#include <ostream>

#include "pictures/frame.hpp"
#include "pictures/pictures.hpp"

namespace budwood::pictures {

namespace {

using drawing::Pen;
using drawing::Point;
using drawing::Svg;
using drawing::TextStyle;

constexpr double curve_height = 120;
constexpr double curve_gap = 34;  ///< with the name of the next one
constexpr double curve_width = 460;
constexpr double share_width = 44;  ///< of the labels at the left
constexpr double run_on = 12;  ///< of lines behind the last count, so that where they end is seen
constexpr double rest_width = 170;  ///< of the words at the right
const TextStyle panel_text{12, true};
const TextStyle tick_style{11};

/// A panel for each group below each other, over the same days and shares.
class CurvePanels {
 public:
  CurvePanels(const std::vector<results::Curve>& curves, const std::vector<std::string>& books,
              results::CurveOf what)
      : curves_(curves), books_(books), what_(what) {
    double last = 1;
    for (const results::Curve& curve : curves) last = std::max(last, curve.last);
    // Days between labels: a week or some of them.
    step_ = last <= 14 ? 2 : 7 * std::ceil(last / 70);
    days_ = step_ * std::ceil(last / step_);
  }

  static double width() { return 2 * margin + share_width + curve_width + rest_width; }
  double height() const {
    return static_cast<double>(curves_.size()) * (curve_height + curve_gap) + 44;
  }

  void draw(Svg& svg, double top) const {
    for (const results::Curve& curve : curves_) {
      top += curve_gap;
      draw_panel(svg, curve, top);
      top += curve_height;
    }
    TextStyle style = tick_style;
    style.anchor = TextStyle::Anchor::middle;
    for (double day = 0; day <= days_; day += step_) {
      svg.text({x(day), top + 16}, units::format_number(day), style);
    }
    svg.text({x(days_ / 2), top + 34}, "days since the stage began", style);
  }

 private:
  double x(double day) const { return margin + share_width + curve_width * day / days_; }
  static double y(double top, double share) { return top + curve_height * (1 - share); }
  /// Germination is what has happened, survival what has not.
  double shown(double survival) const {
    return what_ == results::CurveOf::survival ? survival : 1 - survival;
  }

  std::string name_of(const results::Curve& curve) const {
    std::string name = curve.group + ", " + curve.title;
    if (books_.size() > 1) name = books_[curve.book] + ": " + name;
    return cut(name, curve_width, panel_text);
  }

  void draw_panel(Svg& svg, const results::Curve& curve, double top) const {
    svg.begin_group(name_of(curve));
    svg.text({x(0), top - 8}, name_of(curve), panel_text);
    TextStyle style = tick_style;
    style.anchor = TextStyle::Anchor::end;
    for (const double share : {0.0, 0.5, 1.0}) {
      Pen pen;
      pen.width = 0.5;
      if (share > 0) pen.dash = Pen::Dash::dots;
      svg.lines({{x(0), y(top, share)}, {x(days_), y(top, share)}}, pen);
      svg.text({x(0) - 6, y(top, share) + 4}, units::format_number(100 * share) + " %", style);
    }
    svg.lines({{x(0), top}, {x(0), top + curve_height}}, Pen{0.5});
    draw_steps(svg, curve, top);
    draw_unfinished(svg, curve, top);
    draw_words(svg, curve, top);
    svg.end_group();
  }

  void draw_steps(Svg& svg, const results::Curve& curve, double top) const {
    std::vector<Point> middle{{x(0), y(top, shown(1))}};
    std::vector<Point> low = middle;
    std::vector<Point> high = middle;
    const auto step_to = [&](std::vector<Point>& line, double day, double survival) {
      line.push_back({x(day), line.back().y});
      line.push_back({x(day), y(top, shown(survival))});
    };
    for (const statistics::SurvivalStep& step : curve.steps) {
      step_to(middle, step.time, step.survival);
      step_to(low, step.time, step.interval.low);
      step_to(high, step.time, step.interval.high);
    }
    for (std::vector<Point>* line : {&low, &high, &middle}) {
      line->push_back({x(curve.last) + run_on, line->back().y});
      Pen pen;
      pen.width = line == &middle ? 2 : 0.8;
      if (line != &middle) pen.dash = Pen::Dash::short_dashes;
      svg.lines(*line, pen);
    }
  }

  static double survival_at(const results::Curve& curve, double day) {
    double out = 1;
    for (const statistics::SurvivalStep& step : curve.steps) {
      if (step.time <= day) out = step.survival;
    }
    return out;
  }

  /// An upright stroke where plants go out of sight, beside the step of that count; an arrow where
  /// some are under way.
  void draw_unfinished(Svg& svg, const results::Curve& curve, double top) const {
    for (const statistics::Followed& one : curve.unfinished) {
      const double at = y(top, shown(survival_at(curve, one.time)));
      const double beside = x(one.time) + run_on / 2;
      svg.lines({{beside, at - 6}, {beside, at + 6}}, Pen{1.2});
    }
    if (curve.under_way == 0) return;
    const double at = y(top, shown(survival_at(curve, curve.last)));
    Pen pen;
    pen.width = 1.2;
    pen.arrow = true;
    svg.lines({{x(curve.last) + run_on, at}, {x(curve.last) + run_on + 16, at}}, pen);
  }

  void draw_words(Svg& svg, const results::Curve& curve, double top) const {
    const double left = x(days_) + 30;
    const double share = shown(survival_at(curve, curve.last));
    std::vector<std::string> lines = {units::format_number(std::round(1000 * share) / 10) +
                                      " % of " + std::to_string(curve.plants)};
    if (const auto half = statistics::median_survival(curve.steps)) {
      lines.push_back(
          (what_ == results::CurveOf::survival ? "half lost by day " : "half up by day ") +
          units::format_number(*half));
    }
    if (curve.under_way > 0) {
      lines.push_back(std::to_string(curve.under_way) + " still under way");
    }
    double base = top + 14;
    for (const std::string& line : lines) {
      svg.text({left, base}, line, tick_style);
      base += 16;
    }
  }

  const std::vector<results::Curve>& curves_;
  const std::vector<std::string>& books_;
  results::CurveOf what_;
  double step_ = 7, days_ = 7;
};

}  // namespace

bool write_curves_picture(std::ostream& out, const std::vector<results::Curve>& curves,
                          const std::vector<std::string>& books, results::CurveOf what) {
  const bool survival = what == results::CurveOf::survival;
  const std::string title = survival ? "Still alive, day by day" : "Come up, day by day";
  if (curves.empty()) {
    write_empty(out, title, "No stage was counted as a whole yet.");
    return false;
  }
  const CurvePanels panels(curves, books, what);
  const std::vector<std::string> lines = {
      survival ? "Share of the plants of a stage that are alive (Kaplan and Meier): a step down "
                 "where some were lost or found gone."
               : "Share of what was sown that has come up (1 less Kaplan and Meier): a step up at "
                 "each count.",
      "Short dashes: 95 % limits, as if each plant had its own luck; trays share theirs, so they "
      "are rather too narrow.",
      survival ? "Upright strokes: plants that were counted last there. Arrow: the stage is not "
                 "over."
               : "Upright strokes: what had not come up when it was counted last. Arrow: the stage "
                 "is not over."};
  const Head head(title, lines, CurvePanels::width());
  Svg svg(out, CurvePanels::width(), head.height() + panels.height(), title,
          "A panel for each group: a line in steps over the days of the stage.");
  head.draw(svg);
  panels.draw(svg, head.height());
  return true;
}

}  // namespace budwood::pictures
