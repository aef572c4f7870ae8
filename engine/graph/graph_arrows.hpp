#pragma once

#include <cstddef>
#include <vector>

#include "graph/graph_layout.hpp"

namespace budwood::graph {

/// Finds the way of the arrows along which plants go, between boxes that have their places.
class ArrowRouter {
 public:
  /// `rows` is the row of each stage in its lane.
  ArrowRouter(const Graph& graph, GraphLayout& layout, const std::vector<std::size_t>& rows)
      : graph_(graph), layout_(layout), rows_(rows) {}

  void route(std::size_t arrow);

 private:
  void route_in_row(const PlacedStage& from, const Rect& to, std::vector<Point>& points) const;
  void route_between_rows(const Rect& from, const Rect& to, std::vector<Point>& points) const;
  void route_between_lanes(std::size_t arrow, std::vector<Point>& points) const;
  double under_row(const Rect& box) const;

  const Graph& graph_;
  GraphLayout& layout_;
  const std::vector<std::size_t>& rows_;
};

}  // namespace budwood::graph
