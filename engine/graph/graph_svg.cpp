#include <algorithm>
#include <array>
#include <ostream>

#include "graph/graph_layout.hpp"
#include "graph/graph_writers.hpp"
#include "report/formats/wording.hpp"

namespace budwood::graph {

namespace {

constexpr double thick = 3;
constexpr double thin = 1;
constexpr double baseline = 11;  ///< of a line of text, from its top
constexpr double sample_width = 34;
constexpr double legend_width = 300;
constexpr double legend_height = 34;

Pen outline_pen(bool critical) {
  Pen pen;
  pen.width = critical ? thick : thin;
  pen.fill = Pen::Fill::white;
  return pen;
}

Pen arrow_pen(GraphArrow::Kind kind) {
  Pen pen;
  pen.arrow = true;
  pen.width = kind == GraphArrow::Kind::limit ? 1 : 1.5;
  if (kind == GraphArrow::Kind::limit) pen.dash = Pen::Dash::dashes;
  return pen;
}

Pen hatch_pen() {
  Pen pen;
  pen.width = 0.6;
  pen.fill = Pen::Fill::hatch;
  return pen;
}

/// A box whose right side is torn off: nobody knows yet where it ends.
std::vector<Point> torn(const Rect& box) {
  constexpr double tooth = 6;
  std::vector<Point> points{{box.x, box.bottom()}, {box.x, box.y}};
  const double depth = std::min(tooth, box.width / 3);
  bool out = true;
  for (double y = box.y; y < box.bottom(); y += tooth) {
    points.push_back({out ? box.right() : box.right() - depth, y});
    out = !out;
  }
  points.push_back({out ? box.right() : box.right() - depth, box.bottom()});
  return points;
}

void draw_box(Svg& svg, const Rect& box, bool critical, bool open) {
  if (open) {
    svg.outline(torn(box), outline_pen(critical));
    return;
  }
  // The line lies inside, so that boxes that touch do not cover each other's.
  const double inset = (critical ? thick : thin) / 2;
  svg.rect({box.x + inset, box.y + inset, box.width - 2 * inset, box.height - 2 * inset},
           outline_pen(critical));
}

class Picture {
 public:
  Picture(std::ostream& out, const Graph& graph, const GraphLayout& layout)
      : graph_(graph),
        layout_(layout),
        legend_(legend(graph)),
        svg_(out, layout.width, layout.height + legend_space(), graph.title,
             "Stages of the protocol " + graph.name + " along the days, one lane for each part.") {}

  void draw() {
    draw_block(layout_.title, title_text, title_line_height, graph_.title);
    draw_block(layout_.subtitle, plain_text, line_height, "");
    draw_axis();
    draw_lanes();
    for (std::size_t s = 0; s < graph_.stages.size(); ++s) {
      draw_longer(layout_.stages[s]);
    }
    for (std::size_t a = 0; a < graph_.arrows.size(); ++a) {
      const std::vector<Point>& points = layout_.arrows[a].points;
      if (!points.empty()) svg_.lines(points, arrow_pen(graph_.arrows[a].kind));
    }
    for (std::size_t s = 0; s < graph_.stages.size(); ++s) draw_stage(s);
    for (const PlacedArrow& arrow : layout_.arrows) {
      if (arrow.text.lines.empty()) continue;
      draw_ground(arrow.text.place);
      draw_block(arrow.text, plain_text, line_height, "");
    }
    draw_legend();
  }

 private:
  struct LegendEntry {
    enum class Sample { critical, spare, longer, open, plants, limit };
    Sample sample;
    std::string text;
  };

  static std::vector<LegendEntry> legend(const Graph& graph) {
    using Sample = LegendEntry::Sample;
    const auto has_stage = [&](auto test) {
      return std::any_of(graph.stages.begin(), graph.stages.end(), test);
    };
    const bool limits =
        std::any_of(graph.arrows.begin(), graph.arrows.end(),
                    [](const GraphArrow& a) { return a.kind == GraphArrow::Kind::limit; });
    std::vector<LegendEntry> out;
    out.push_back(
        {Sample::critical,
         "Thick outline: on the longest chain. A day more here makes the whole a day longer."});
    if (has_stage([](const GraphStage& s) { return !s.critical(); })) {
      out.push_back(
          {Sample::spare, "Thin outline: has days to spare, and may start that much earlier."});
    }
    if (has_stage([](const GraphStage& s) { return s.latest > s.end; })) {
      out.push_back({Sample::longer,
                     "Hatched: how late it may end when this and all before it last longest."});
    }
    if (has_stage([](const GraphStage& s) { return s.open; })) {
      out.push_back(
          {Sample::open, "Torn edge: lasts as long as the temperatures of the site make it."});
    }
    if (!graph.arrows.empty()) {
      out.push_back(
          {Sample::plants,
           "The plants go on, or are joined. Stages that touch follow each other at once."});
    }
    if (limits) {
      out.push_back(
          {Sample::limit, "Starts so long after the start or the end of the other stage."});
    }
    return out;
  }

  std::size_t legend_columns() const {
    const double room = layout_.width - 2 * margin;
    return std::max<std::size_t>(1, static_cast<std::size_t>(room / legend_width));
  }
  double legend_space() const {
    const std::size_t columns = legend_columns();
    const std::size_t rows = (legend_.size() + columns - 1) / columns;
    return static_cast<double>(rows) * legend_height + margin;
  }

  /// White behind text, so that lines pass behind it.
  void draw_ground(const Rect& place) {
    svg_.ground({place.x - 1, place.y, place.width + 2, place.height});
  }

  /// A block whose text was shortened tells the whole of it where the viewer can.
  void draw_block(const TextBlock& block, const TextStyle& style, double height,
                  std::string_view whole) {
    if (!whole.empty()) svg_.begin_group(whole);
    double y = block.place.y + baseline * style.size / plain_text.size;
    for (std::size_t i = 0; i < block.lines.size(); ++i) {
      TextStyle one = style;
      one.bold = i < block.bold;
      svg_.text({block.place.x, y}, block.lines[i], one);
      y += height;
    }
    if (!whole.empty()) svg_.end_group();
  }

  void draw_axis() {
    const Rect& field = layout_.field;
    Pen grid;
    grid.width = 0.5;
    grid.dash = Pen::Dash::dots;
    TextStyle style = plain_text;
    style.anchor = TextStyle::Anchor::middle;
    // A tall picture is read far from its top.
    constexpr double tall = 700;
    const bool twice = field.height > tall;
    for (const Tick& tick : layout_.ticks) {
      svg_.lines({{tick.x, field.y - 5}, {tick.x, field.bottom()}}, grid);
      svg_.text({tick.x, field.y - 8}, std::to_string(tick.number), style);
      if (twice)
        svg_.text({tick.x, field.bottom() + baseline + 2}, std::to_string(tick.number), style);
    }
    const char* unit = layout_.weeks ? "Weeks from the start" : "Days from the start";
    svg_.text({margin, field.y - 8}, unit, plain_text);
    if (twice) svg_.text({margin, field.bottom() + baseline + 2}, unit, plain_text);
  }

  void draw_lanes() {
    Pen pen;
    pen.width = 1;
    for (std::size_t p = 0; p < layout_.lanes.size(); ++p) {
      const PlacedLane& lane = layout_.lanes[p];
      svg_.lines({{lane.place.x, lane.place.y}, {lane.place.right(), lane.place.y}}, pen);
      draw_block(lane.title, plain_text, line_height, graph_.parts[p]);
    }
    const Rect& last = layout_.lanes.back().place;
    svg_.lines({{last.x, last.bottom()}, {last.right(), last.bottom()}}, pen);
  }

  /// A strip below the end of the box, tied to it.
  void draw_longer(const PlacedStage& placed) {
    if (placed.longer.width == 0) return;
    svg_.lines({{placed.longer.x, placed.box.bottom()}, {placed.longer.x, placed.longer.bottom()}},
               hatch_pen());
    svg_.rect(placed.longer, hatch_pen());
  }

  void draw_stage(std::size_t s) {
    const GraphStage& stage = graph_.stages[s];
    const PlacedStage& placed = layout_.stages[s];
    std::string whole = stage.title + ": day " + std::to_string(stage.start) + " to day " +
                        std::to_string(stage.end) + "; " + report::joined(stage.details, "; ");
    svg_.begin_group(whole);
    draw_box(svg_, placed.box, stage.critical(), stage.open);
    if (placed.text.place.x >= placed.box.right()) draw_ground(placed.text.place);
    draw_block(placed.text, plain_text, line_height, "");
    svg_.end_group();
  }

  void draw_legend() {
    const std::size_t columns = legend_columns();
    double y = layout_.height + margin / 2;
    for (std::size_t i = 0; i < legend_.size(); ++i) {
      if (i > 0 && i % columns == 0) y += legend_height;
      const double x = margin + static_cast<double>(i % columns) * legend_width;
      draw_sample(legend_[i].sample, {x, y, sample_width, legend_height - 12});
      TextBlock text;
      const double width = legend_width - sample_width - margin;
      text.lines = wrap_text(legend_[i].text, width - margin, 3, {10, false, {}});
      text.place = {x + sample_width + 8, y - 1, width, 0};
      draw_block(text, {10, false, {}}, 12, "");
    }
  }

  void draw_sample(LegendEntry::Sample sample, const Rect& place) {
    using Sample = LegendEntry::Sample;
    const double middle = place.y + place.height / 2;
    const std::vector<Point> line{{place.x, middle}, {place.right(), middle}};
    switch (sample) {
      case Sample::critical:
        draw_box(svg_, place, true, false);
        break;
      case Sample::spare:
        draw_box(svg_, place, false, false);
        break;
      case Sample::open:
        draw_box(svg_, place, false, true);
        break;
      case Sample::longer:
        svg_.rect({place.x, middle - 3, place.width, 6}, hatch_pen());
        break;
      case Sample::plants:
        svg_.lines(line, arrow_pen(GraphArrow::Kind::plants));
        break;
      case Sample::limit:
        svg_.lines(line, arrow_pen(GraphArrow::Kind::limit));
        break;
    }
  }

  const Graph& graph_;
  const GraphLayout& layout_;
  std::vector<LegendEntry> legend_;
  Svg svg_;
};

}  // namespace

void write_graph_svg(std::ostream& out, const Graph& graph) {
  const GraphLayout layout = lay_out(graph);
  Picture(out, graph, layout).draw();
}

}  // namespace budwood::graph
