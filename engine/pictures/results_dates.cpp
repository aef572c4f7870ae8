#include <algorithm>
#include <cmath>
#include <map>
#include <ostream>

#include "pictures/frame.hpp"
#include "pictures/pictures.hpp"
#include "report/results/results_report.hpp"

namespace budwood::pictures {

namespace {

using drawing::Pen;
using drawing::Svg;
using drawing::TextStyle;
using results::Row;

constexpr double shares_height = 220;
constexpr double names_height = 92;  ///< turned, below the days
constexpr double days_width = 620;
constexpr double labels_width = 44;
const TextStyle label_style{11};

/// Dots and intervals over the days on which groups began, a panel for each stage.
class SharesOverTime {
 public:
  explicit SharesOverTime(const results::Summary& summary) {
    for (const Row& row : summary.rows) {
      if (!row.began) continue;
      panels_[{row.protocol, row.title}].push_back(&row);
      first_ = std::min(first_, *row.began);
      last_ = std::max(last_, *row.began);
    }
    // Room at both ends for the dots themselves.
    first_ -= 4;
    last_ += 4;
  }

  bool empty() const { return panels_.empty(); }
  static double width() { return 2 * margin + labels_width + days_width; }
  double height() const {
    return static_cast<double>(panels_.size()) *
           (30 + shares_height + drawing::DateAxis::height + names_height);
  }

  void draw(Svg& svg, double top) const {
    const drawing::DateAxis axis({first_, last_}, margin + labels_width,
                                 days_width / static_cast<double>(last_ - first_ + 1));
    for (const auto& [panel, rows] : panels_) {
      TextStyle bold = label_style;
      bold.bold = true;
      top += 30;
      svg.text({axis.left(), top - 10}, cut(panel.second, days_width, bold), bold);
      draw_shares(svg, axis, top);
      for (const Row* row : rows) draw_dot(svg, axis, top, *row);
      axis.draw_labels(svg, top + shares_height);
      draw_names(svg, axis, top + shares_height + drawing::DateAxis::height, rows);
      top += shares_height + drawing::DateAxis::height + names_height;
    }
  }

 private:
  static double y(double top, double share) {
    return top + shares_height * (1 - std::clamp(share, 0.0, 1.0));
  }
  static double x(const drawing::DateAxis& axis, const Row& row) {
    return axis.x_of(*row.began) + axis.day_width() / 2;
  }

  static void draw_shares(Svg& svg, const drawing::DateAxis& axis, double top) {
    TextStyle style = label_style;
    style.anchor = TextStyle::Anchor::end;
    for (int i = 0; i <= 5; ++i) {
      const double share = i / 5.0;
      Pen pen;
      pen.width = 0.5;
      if (i > 0) pen.dash = Pen::Dash::dots;
      svg.lines({{axis.left(), y(top, share)}, {axis.right(), y(top, share)}}, pen);
      svg.text({axis.left() - 6, y(top, share) + 4}, std::to_string(20 * i) + " %", style);
    }
  }

  static void draw_dot(Svg& svg, const drawing::DateAxis& axis, double top, const Row& row) {
    const double at = x(axis, row);
    svg.begin_group(row.group);
    if (row.interval) {
      Pen pen;
      pen.width = 1.3;
      const double low = y(top, row.interval->low);
      const double high = y(top, row.interval->high);
      svg.lines({{at, low}, {at, high}}, pen);
      svg.lines({{at - 4, low}, {at + 4, low}}, pen);
      svg.lines({{at - 4, high}, {at + 4, high}}, pen);
    }
    if (row.usual) {
      const double usual = y(top, *row.usual);
      svg.lines({{at - 8, usual}, {at + 8, usual}}, Pen{2});
    }
    drawing::draw_diamond(svg, {at, y(top, row.value)});
    svg.end_group();
  }

  /// Upwards below the axis, moved apart where groups began close to each other.
  static void draw_names(Svg& svg, const drawing::DateAxis& axis, double top,
                         std::vector<const Row*> rows) {
    std::stable_sort(rows.begin(), rows.end(),
                     [](const Row* a, const Row* b) { return *a->began < *b->began; });
    std::vector<double> wanted;
    for (const Row* row : rows) wanted.push_back(x(axis, *row));
    const std::vector<double> places =
        drawing::spread(wanted, 14, axis.left() + 8, axis.right() - 4);
    TextStyle style = label_style;
    style.turned = true;
    style.anchor = TextStyle::Anchor::end;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      svg.text({places[i] + 4, top + 8}, cut(rows[i]->group, names_height - 14, label_style),
               style);
    }
  }

  std::map<std::pair<std::string, std::string>, std::vector<const Row*>> panels_;
  calendar::Day first_ = calendar::last_day, last_ = calendar::first_day;
};

}  // namespace

bool write_results_over_time(std::ostream& out, const results::Summary& summary) {
  const std::string title = report::result_name(summary.question.of) + " over time, by " +
                            std::string(results::word(summary.question.by));
  const SharesOverTime shares(summary);
  if (shares.empty()) {
    write_empty(out, title, "Nothing was counted yet.");
    return false;
  }
  const Head head(title,
                  {report::results_note(summary),
                   "Each stands on the day on which its stage began, the first of a group. Broad "
                   "stroke: what the protocol has as usual."},
                  SharesOverTime::width());
  Svg svg(out, SharesOverTime::width(), head.height() + shares.height(), title,
          "A dot at each share and a line over its interval, along the days.");
  head.draw(svg);
  shares.draw(svg, head.height());
  return true;
}

}  // namespace budwood::pictures
