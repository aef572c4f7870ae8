#include "graph/graph_layout.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numeric>

#include "graph/graph_arrows.hpp"
#include "report/formats/wording.hpp"

namespace budwood::graph {

namespace {

constexpr double title_column = 132;  ///< for the titles of the parts
constexpr double axis_height = 22;
constexpr double narrowest_box = 20;
constexpr double least_inside = 84;  ///< width of a box that can hold text
constexpr std::size_t most_lines_inside = 9;
constexpr double beside_width = 190;
constexpr std::size_t most_title_lines = 3;
constexpr std::size_t most_detail_lines = 3;
constexpr double padding = 6;
constexpr double least_band = 30;
constexpr double longer_height = 6;  ///< of the strip that shows how long a stage may last
constexpr double longer_step = 9;
constexpr double row_gap = 16;
constexpr double lane_padding = 10;

/// Stretches of a line that are taken.
class Occupied {
 public:
  bool free(double from, double to) const {
    return std::none_of(taken_.begin(), taken_.end(),
                        [&](const auto& one) { return from < one.second && one.first < to; });
  }
  void take(double from, double to) { taken_.emplace_back(from, to); }

 private:
  std::vector<std::pair<double, double>> taken_;
};

/// The first of `levels` in which a stretch is free, a new one where there is none.
std::size_t take_level(std::vector<Occupied>& levels, double from, double to) {
  std::size_t level = 0;
  while (level < levels.size() && !levels[level].free(from, to)) ++level;
  if (level == levels.size()) levels.emplace_back();
  levels[level].take(from, to);
  return level;
}

double widest(const TextBlock& block) {
  double width = 0;
  for (std::size_t i = 0; i < block.lines.size(); ++i) {
    width = std::max(width, text_width(block.lines[i], i < block.bold ? bold_text : plain_text));
  }
  return width;
}

TextBlock stage_text(const GraphStage& stage, double width) {
  TextBlock block;
  block.lines = wrap_text(stage.title, width, most_title_lines, bold_text);
  block.bold = block.lines.size();
  for (const std::string& detail : stage.details) {
    const auto lines = wrap_text(detail, width, most_detail_lines, plain_text);
    block.lines.insert(block.lines.end(), lines.begin(), lines.end());
  }
  block.place.width = widest(block);
  block.place.height = static_cast<double>(block.lines.size()) * line_height;
  return block;
}

/// Whether some word would have to be broken to fit.
bool breaks_words(std::string_view text, double width, const TextStyle& style) {
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    if (text_width(text.substr(0, end), style) > width) return true;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return false;
}

bool breaks_words(const GraphStage& stage, double width) {
  return breaks_words(stage.title, width, bold_text) ||
         std::any_of(stage.details.begin(), stage.details.end(), [&](const std::string& detail) {
           return breaks_words(detail, width, plain_text);
         });
}

/// A row of boxes in a lane, and under it the strips of what may come later, in levels.
struct Row {
  Occupied boxes;
  std::vector<Occupied> longer;
  double band = least_band;
  double top = 0;
  double height() const { return band + 3 + longer_step * static_cast<double>(longer.size()); }
};

struct Lane {
  std::vector<Row> rows;
  std::vector<Occupied> tracks;  ///< for the arrows of limits, on top
};

class Layouter {
 public:
  explicit Layouter(const Graph& graph)
      : graph_(graph),
        lanes_(graph.parts.size()),
        rows_(graph.stages.size()),
        levels_(graph.stages.size()) {
    out_.stages.resize(graph.stages.size());
    out_.arrows.resize(graph.arrows.size());
    tracks_.resize(graph.arrows.size());
  }

  GraphLayout run() {
    choose_scale();
    for (std::size_t s = 0; s < graph_.stages.size(); ++s) place_text(s);
    for (const std::size_t s : by_time()) place_in_row(s);
    for (std::size_t a = 0; a < graph_.arrows.size(); ++a) place_in_track(a);
    place_titles();
    place_lanes();
    ArrowRouter router(graph_, out_, rows_);
    for (std::size_t a = 0; a < graph_.arrows.size(); ++a) {
      if (graph_.arrows[a].kind != GraphArrow::Kind::limit) router.route(a);
    }
    return std::move(out_);
  }

 private:
  double x_of(int day) const { return out_.field.x + day * scale_; }

  /// Short protocols get room for the text in their boxes; longer ones grow less than their days.
  void choose_scale() {
    constexpr double usual_width = 1150;
    constexpr double usual_days = 60;
    constexpr double most_width = 8000;
    constexpr double most_a_day = 26;
    int last = std::max(1, graph_.days);
    for (const GraphStage& stage : graph_.stages) last = std::max({last, stage.end, stage.latest});
    const double width =
        std::min(most_width, usual_width * std::sqrt(std::max(1.0, last / usual_days)));
    scale_ = std::min(most_a_day, width / last);
    out_.field.x = margin + title_column + padding;
    out_.field.width = last * scale_;
    out_.width = out_.field.right();
    place_ticks(last);
  }

  void place_ticks(int last) {
    constexpr int days_in_weeks = 70;  // from here on people count in weeks
    constexpr double least_distance = 30;
    out_.weeks = last > days_in_weeks;
    const int unit = out_.weeks ? 7 : 1;
    const std::vector<int> steps =
        out_.weeks ? std::vector<int>{1, 2, 4, 13, 26, 52} : std::vector<int>{1, 2, 5, 10};
    int step = steps.back();
    for (auto s = steps.rbegin(); s != steps.rend(); ++s) {
      if (*s * unit * scale_ >= least_distance) step = *s;
    }
    while (step * unit * scale_ < least_distance) step *= 2;
    for (int number = 0; number * unit <= last; number += step) {
      out_.ticks.push_back({x_of(number * unit), number});
    }
  }

  void place_text(std::size_t s) {
    const GraphStage& stage = graph_.stages[s];
    PlacedStage& placed = out_.stages[s];
    placed.box.x = x_of(stage.start);
    placed.box.width = std::max(narrowest_box, (stage.end - stage.start) * scale_);
    const double inside = placed.box.width - 2 * padding;
    if (placed.box.width >= least_inside && !breaks_words(stage, inside)) {
      placed.text = stage_text(stage, inside);
      placed.text.place.x = placed.box.x + padding;
      if (placed.text.lines.size() <= most_lines_inside) return;
    }
    placed.text = stage_text(stage, beside_width);
    placed.text.place.x = placed.box.right() + (leaves_lane(s) ? 4 * padding : padding);
  }

  /// Whether an arrow needs the place right beside the box.
  bool leaves_lane(std::size_t s) const {
    return std::any_of(graph_.arrows.begin(), graph_.arrows.end(), [&](const GraphArrow& arrow) {
      return arrow.kind != GraphArrow::Kind::limit && arrow.from == s &&
             graph_.stages[arrow.to].part != graph_.stages[s].part;
    });
  }

  std::vector<std::size_t> by_time() const {
    std::vector<std::size_t> order(graph_.stages.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      const GraphStage& one = graph_.stages[a];
      const GraphStage& other = graph_.stages[b];
      return std::pair(one.start, one.end) < std::pair(other.start, other.end);
    });
    return order;
  }

  /// Into the row of the stage before it, else the next below, else one above, else a new one.
  void place_in_row(std::size_t s) {
    PlacedStage& placed = out_.stages[s];
    std::vector<Row>& rows = lanes_[graph_.stages[s].part].rows;
    const double right = std::max(placed.box.right(), placed.text.place.right() + padding);
    std::size_t first = 0;
    for (const GraphArrow& arrow : graph_.arrows) {
      const bool here = graph_.stages[arrow.from].part == graph_.stages[s].part;
      if (arrow.to == s && arrow.kind == GraphArrow::Kind::plants && here) {
        first = rows_[arrow.from];
      }
    }
    std::size_t row = rows.size();
    for (std::size_t i = 0; i < rows.size() && row == rows.size(); ++i) {
      const std::size_t candidate = (first + i) % rows.size();
      if (rows[candidate].boxes.free(placed.box.x, right)) row = candidate;
    }
    if (row == rows.size()) rows.emplace_back();
    rows[row].boxes.take(placed.box.x, right);
    rows[row].band = std::max(rows[row].band, placed.text.place.height + 2 * padding);
    rows_[s] = row;
    const double latest = x_of(graph_.stages[s].latest);
    const double end = x_of(graph_.stages[s].end);
    if (latest <= end) return;
    placed.longer.x = end;
    placed.longer.width = latest - end;
    levels_[s] = take_level(rows[row].longer, end, latest + 2);
  }

  /// The arrow of a limit runs along a track above the boxes of its lane, with its text on it or,
  /// where it is too short, behind it.
  void place_in_track(std::size_t a) {
    const GraphArrow& arrow = graph_.arrows[a];
    if (arrow.kind != GraphArrow::Kind::limit) return;
    constexpr double corner = 4;
    const Rect& from = out_.stages[arrow.from].box;
    const double x_from = arrow.from_start ? from.x + corner : from.right() - corner;
    const double x_to = out_.stages[arrow.to].box.x + corner;
    const double left = std::min(x_from, x_to);
    const double right = std::max(x_from, x_to);
    TextBlock& text = out_.arrows[a].text;
    text.lines = {arrow.text};
    text.place.width = widest(text) + 4;
    text.place.height = line_height;
    constexpr double ends = 40;
    const bool on_line = right - left >= text.place.width + ends;
    text.place.x = on_line ? (left + right - text.place.width) / 2 : right + padding;
    out_.arrows[a].points = {{x_from, 0}, {x_from, 0}, {x_to, 0}, {x_to, 0}};
    tracks_[a] = take_level(lanes_[graph_.stages[arrow.to].part].tracks, left - padding,
                            std::max(right, text.place.right()) + padding);
  }

  void place_titles() {
    for (const PlacedStage& stage : out_.stages) {
      out_.width = std::max({out_.width, stage.box.right(), stage.text.place.right()});
    }
    for (const PlacedArrow& arrow : out_.arrows) {
      out_.width = std::max(out_.width, arrow.text.place.right());
    }
    constexpr double least_width = 640;
    out_.width = std::max(out_.width, least_width) + margin;
    constexpr double widest_title = 1000;
    const double width = std::min(out_.width - 2 * margin, widest_title);
    out_.title.lines = wrap_text(graph_.title, width, most_title_lines, title_text);
    out_.title.bold = out_.title.lines.size();
    out_.title.place = {margin, margin, width,
                        static_cast<double>(out_.title.bold) * title_line_height};
    out_.subtitle.lines = wrap_text(subtitle(), width, most_detail_lines, plain_text);
    out_.subtitle.place = {margin, out_.title.place.bottom(), width,
                           static_cast<double>(out_.subtitle.lines.size()) * line_height};
    out_.field.y = out_.subtitle.place.bottom() + padding + axis_height;
  }

  std::string subtitle() const {
    const std::string edition = "Edition " + std::to_string(graph_.edition) + ". ";
    if (graph_.open) {
      return edition +
             "How long it takes depends on the temperatures of the site; the days drawn are an "
             "example, with people working every day.";
    }
    return edition + "As it usually goes, with people working every day: " +
           report::counted(static_cast<std::size_t>(graph_.days), "day") +
           " until the plants are ready.";
  }

  void place_lanes() {
    constexpr double track_height = 18;
    double y = out_.field.y;
    for (std::size_t p = 0; p < lanes_.size(); ++p) {
      PlacedLane lane;
      lane.place = {margin, y, out_.width - 2 * margin, 0};
      lane.title.lines = wrap_text(graph_.parts[p], title_column - padding, 4, bold_text);
      lane.title.bold = lane.title.lines.size();
      lane.title.place = {margin, y + lane_padding, title_column,
                          static_cast<double>(lane.title.bold) * line_height};
      y += lane_padding;
      const double tracks = y;
      y += track_height * static_cast<double>(lanes_[p].tracks.size());
      if (!lanes_[p].tracks.empty()) y += padding;
      for (Row& row : lanes_[p].rows) {
        row.top = y;
        y += row.height() + row_gap;
      }
      y = std::max(y - row_gap + lane_padding, lane.title.place.bottom() + lane_padding);
      lane.place.height = y - lane.place.y;
      for (std::size_t s = 0; s < graph_.stages.size(); ++s) {
        if (graph_.stages[s].part == p) place_stage(s, lanes_[p].rows[rows_[s]]);
      }
      for (std::size_t a = 0; a < graph_.arrows.size(); ++a) {
        if (graph_.arrows[a].kind != GraphArrow::Kind::limit) continue;
        if (graph_.stages[graph_.arrows[a].to].part != p) continue;
        const double track = tracks + track_height * (static_cast<double>(tracks_[a]) + 0.5);
        out_.arrows[a].points[1].y = out_.arrows[a].points[2].y = track;
        out_.arrows[a].text.place.y = track - line_height / 2;
      }
      out_.lanes.push_back(std::move(lane));
    }
    out_.field.height = y - out_.field.y;
    out_.height = y + margin;
    for (std::size_t a = 0; a < graph_.arrows.size(); ++a) end_limit(a);
  }

  void place_stage(std::size_t s, const Row& row) {
    PlacedStage& placed = out_.stages[s];
    placed.box.y = row.top;
    placed.box.height = row.band;
    placed.text.place.y = row.top + padding;
    placed.longer.y = row.top + row.band + 3 + longer_step * static_cast<double>(levels_[s]);
    placed.longer.height = longer_height;
  }

  /// From the side of the box that faces the track, down to the top of the other box.
  void end_limit(std::size_t a) {
    if (graph_.arrows[a].kind != GraphArrow::Kind::limit) return;
    std::vector<Point>& points = out_.arrows[a].points;
    const Rect& from = out_.stages[graph_.arrows[a].from].box;
    points[0].y = points[1].y < from.y ? from.y : from.bottom();
    points[3].y = out_.stages[graph_.arrows[a].to].box.y;
  }

  const Graph& graph_;
  GraphLayout out_;
  double scale_ = 1;
  std::vector<Lane> lanes_;
  std::vector<std::size_t> rows_;    ///< by stage: its row in its lane
  std::vector<std::size_t> levels_;  ///< by stage: of its strip
  std::vector<std::size_t> tracks_;  ///< by arrow
};

}  // namespace

GraphLayout lay_out(const Graph& graph) {
  return Layouter(graph).run();
}

}  // namespace budwood::graph
