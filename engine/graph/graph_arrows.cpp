#include "graph/graph_arrows.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::graph {

namespace {

constexpr double clearance = 8;  ///< of a line before the box that it comes to
constexpr double corner = 12;    ///< from the corner of a box to where a line meets it

}  // namespace

void ArrowRouter::route(std::size_t a) {
  const GraphArrow& arrow = graph_.arrows[a];
  std::vector<Point>& points = layout_.arrows[a].points;
  const PlacedStage& from = layout_.stages[arrow.from];
  const Rect& to = layout_.stages[arrow.to].box;
  if (graph_.stages[arrow.from].part != graph_.stages[arrow.to].part) {
    route_between_lanes(a, points);
  } else if (rows_[arrow.from] == rows_[arrow.to]) {
    route_in_row(from, to, points);
  } else {
    route_between_rows(from.box, to, points);
  }
}

/// Straight on, below text that stands beside the box; nothing where the boxes touch.
void ArrowRouter::route_in_row(const PlacedStage& from, const Rect& to,
                               std::vector<Point>& points) const {
  constexpr double least = 5;
  if (to.x - from.box.right() < least) return;
  const bool beside = from.text.place.x >= from.box.right();
  const double y = beside ? to.bottom() - clearance / 2 : to.y + to.height / 2;
  points = {{from.box.right(), y}, {to.x, y}};
}

/// Out of the end of one box, along the gap beside the other's row, and into its beginning.
void ArrowRouter::route_between_rows(const Rect& from, const Rect& to,
                                     std::vector<Point>& points) const {
  const double x_from = from.right() - std::min(corner / 2, from.width / 2);
  const double x_to = to.x + std::min(corner, to.width / 2);
  if (from.y < to.y) {
    const double gap = to.y - clearance;
    points = {{x_from, from.bottom()}, {x_from, gap}, {x_to, gap}, {x_to, to.y}};
  } else {
    const double gap = under_row(to) + clearance / 2;
    points = {{x_from, from.y}, {x_from, gap}, {x_to, gap}, {x_to, to.bottom()}};
  }
}

/// From lane to lane, right beside the boxes, the arrow from further away outside.
void ArrowRouter::route_between_lanes(std::size_t a, std::vector<Point>& points) const {
  const GraphArrow& arrow = graph_.arrows[a];
  const Rect& from = layout_.stages[arrow.from].box;
  const Rect& to = layout_.stages[arrow.to].box;
  constexpr double step = 7;
  double offset = clearance;
  for (const GraphArrow& other : graph_.arrows) {
    const double y_other = layout_.stages[other.from].box.y;
    const bool nearer = std::abs(y_other - to.y) < std::abs(from.y - to.y);
    const bool same_side = (y_other < to.y) == (from.y < to.y);
    if (other.kind == arrow.kind && other.to == arrow.to && nearer && same_side) offset += step;
  }
  const double x = from.right() + offset;
  const double y = from.y + from.height / 2;
  const double x_to = to.x + offset;
  const bool down = from.y < to.y;
  const double gap = down ? to.y - clearance : under_row(to) + clearance / 2;
  points = {{from.right(), y}, {x, y}, {x, gap}, {x_to, gap}, {x_to, down ? to.y : to.bottom()}};
}

/// Below a box and all strips of its row.
double ArrowRouter::under_row(const Rect& box) const {
  double y = box.bottom();
  for (const PlacedStage& stage : layout_.stages) {
    if (stage.box.y == box.y && stage.longer.width > 0) y = std::max(y, stage.longer.bottom());
  }
  return y;
}

}  // namespace budwood::graph
