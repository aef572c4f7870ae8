#pragma once

#include <iosfwd>

#include "graph/graph.hpp"

/// One writer for each format of a graph; `write_graph` chooses between them.
namespace budwood::graph {

void write_graph_svg(std::ostream& out, const Graph& graph);
void write_graph_dot(std::ostream& out, const Graph& graph);

}  // namespace budwood::graph
