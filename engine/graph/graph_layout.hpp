#pragma once

#include <string>
#include <vector>

#include "drawing/drawing.hpp"
#include "graph/graph.hpp"

/// Where everything of a graph stands in its picture. No two texts, and no text and box, overlap;
/// lines may pass behind either.
namespace budwood::graph {

using drawing::Pen;
using drawing::Point;
using drawing::Rect;
using drawing::Svg;
using drawing::text_width;
using drawing::TextStyle;
using drawing::wrap_text;

/// Lines of text below each other; the first `bold` of them are bold.
struct TextBlock {
  Rect place;
  std::vector<std::string> lines;
  std::size_t bold = 0;
};

struct PlacedStage {
  Rect box;
  Rect longer;     ///< from the usual end to the latest; no width when there is nothing between
  TextBlock text;  ///< in the box or, where that is too small, to the right of it
};

struct PlacedArrow {
  std::vector<Point> points;
  TextBlock text;  ///< of a limit
};

struct PlacedLane {
  Rect place;
  TextBlock title;
};

struct Tick {
  double x = 0;
  int number = 0;  ///< of days or weeks
};

struct GraphLayout {
  double width = 0, height = 0;
  TextBlock title, subtitle;
  Rect field;  ///< what lies between the first and the last tick, from the axis down
  bool weeks = false;
  std::vector<Tick> ticks;
  std::vector<PlacedLane> lanes;    ///< as Graph::parts
  std::vector<PlacedStage> stages;  ///< as Graph::stages
  std::vector<PlacedArrow> arrows;  ///< as Graph::arrows; no points where two stages touch
};

inline constexpr double line_height = 14;
inline constexpr double margin = 16;
inline constexpr TextStyle plain_text{};
inline constexpr TextStyle bold_text{11, true, TextStyle::Anchor::start};
inline constexpr TextStyle title_text{16, true, TextStyle::Anchor::start};
inline constexpr double title_line_height = 20;

GraphLayout lay_out(const Graph& graph);

}  // namespace budwood::graph
