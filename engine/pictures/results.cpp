#include <algorithm>
#include <cmath>
#include <ostream>

#include "pictures/frame.hpp"
#include "pictures/pictures.hpp"
#include "report/results/results_report.hpp"

namespace budwood::pictures {

namespace {

using drawing::Pen;
using drawing::Point;
using drawing::Svg;
using drawing::TextStyle;

constexpr double row_height = 22;
constexpr double axis_height = 34;
constexpr double plot_width = 420;
constexpr double widest_name = 320;
constexpr double dot = 4;  // half of its width
const TextStyle row_text{12};
const TextStyle small_text{11};

std::string name_of(const results::Summary& summary, const results::Row& row) {
  std::string name = row.group;
  if (!row.title.empty()) name += ", " + row.title;
  if (summary.books.size() > 1) name = summary.books[row.book] + ": " + name;
  return name;
}

/// Shares from 0 to 1, all else from 0 to a round number above the largest limit.
double top_of(const results::Summary& summary) {
  if (summary.question.of == results::Of::take) return 1;
  double most = 0;
  for (const results::Row& row : summary.rows) {
    const auto& limits = row.interval ? row.interval : row.seen;
    if (std::isfinite(row.value)) most = std::max(most, row.value);
    if (limits && std::isfinite(limits->high)) most = std::max(most, limits->high);
    if (row.usual) most = std::max(most, *row.usual);
  }
  if (most <= 0) return 1;
  const double power = std::pow(10, std::floor(std::log10(most)));
  for (const double step : {1.0, 2.0, 5.0, 10.0}) {
    if (most <= step * power) return step * power;
  }
  return 10 * power;
}

/// Rows of a dot and an interval over one scale.
class DotPlot {
 public:
  explicit DotPlot(const results::Summary& summary) : summary_(summary), top_(top_of(summary)) {
    for (const results::Row& row : summary.rows) {
      names_.push_back(cut(name_of(summary, row), widest_name, row_text));
      name_width_ = std::max(name_width_, drawing::text_width(names_.back(), row_text));
    }
  }

  double width() const { return plot_left() + plot_width + value_width + 2 * margin; }
  double height() const {
    return axis_height + row_height * static_cast<double>(names_.size()) + margin;
  }

  void draw(Svg& svg, double top) const {
    draw_axis(svg, top);
    double middle = top + axis_height + row_height / 2;
    for (std::size_t i = 0; i < names_.size(); ++i, middle += row_height) draw_row(svg, i, middle);
  }

 private:
  static constexpr double value_width = 150;

  double plot_left() const { return margin + name_width_ + 14; }
  double x(double value) const {
    return plot_left() + plot_width * std::clamp(value / top_, 0.0, 1.0);
  }

  void draw_axis(Svg& svg, double top) const {
    constexpr int ticks = 5;
    const double bottom = top + axis_height + row_height * static_cast<double>(names_.size());
    TextStyle style = small_text;
    style.anchor = TextStyle::Anchor::middle;
    for (int i = 0; i <= ticks; ++i) {
      const double value = top_ * i / ticks;
      Pen pen;
      pen.width = 0.5;
      if (i > 0) pen.dash = Pen::Dash::dots;
      svg.lines({{x(value), top + axis_height - 6}, {x(value), bottom}}, pen);
      svg.text({x(value), top + axis_height - 12}, tick_text(value), style);
    }
  }

  /// Ticks are round numbers: "20 %".
  std::string tick_text(double value) const {
    return of() == results::Of::take ? units::format_number(100 * value) + " %"
                                     : units::format_number(value);
  }

  void draw_row(Svg& svg, std::size_t i, double y) const {
    const results::Row& row = summary_.rows[i];
    const double base = y + row_text.size * 0.35;
    svg.begin_group(name_of(summary_, row));
    svg.text({margin, base}, names_[i], row_text);
    const auto& limits = row.interval ? row.interval : row.seen;
    Pen pen;
    pen.width = 1.3;
    if (limits) drawing::draw_whisker(svg, x(limits->low), x(limits->high), y, pen);
    if (row.usual) {
      // What the protocol has: an upright stroke.
      svg.lines({{x(*row.usual), y - 8}, {x(*row.usual), y + 8}}, Pen{2});
    }
    if (std::isfinite(row.value)) {
      Pen full;
      full.fill = Pen::Fill::black;
      const double at = x(row.value);
      svg.outline({{at - dot, y}, {at, y - dot}, {at + dot, y}, {at, y + dot}}, full);
    }
    svg.text({plot_left() + plot_width + 14, base}, value_text(row), small_text);
    svg.end_group();
  }

  std::string value_text(const results::Row& row) const {
    std::string text = report::result_text(row.value, of());
    if (of() == results::Of::take) {
      text += " of " + std::to_string(static_cast<std::int64_t>(row.amount));
    }
    return text;
  }

  results::Of of() const { return summary_.question.of; }

  const results::Summary& summary_;
  double top_;
  std::vector<std::string> names_;
  double name_width_ = 0;
};

}  // namespace

bool write_results_picture(std::ostream& out, const results::Summary& summary) {
  const std::string title = report::result_name(summary.question.of) + " by " +
                            std::string(results::word(summary.question.by));
  if (summary.rows.empty()) {
    write_empty(out, title, "Nothing was counted yet.");
    return false;
  }
  const DotPlot plot(summary);
  const bool usual = std::any_of(summary.rows.begin(), summary.rows.end(),
                                 [](const results::Row& row) { return row.usual.has_value(); });
  std::vector<std::string> lines = {report::results_note(summary)};
  if (usual) lines.emplace_back("Upright stroke: what the protocol has as usual.");
  const Head head(title, lines, plot.width());
  Svg svg(out, plot.width(), head.height() + plot.height(), title,
          "A row for each group: a dot at its value and a line over its interval.");
  head.draw(svg);
  plot.draw(svg, head.height());
  return true;
}

}  // namespace budwood::pictures
