#pragma once

#include "graph/graph.hpp"
#include "paper/html.hpp"
#include "report/report.hpp"

namespace budwood::paper {

/// A protocol with its usual course, for writing about its stages.
struct Method {
  const language::Protocol& protocol;
  graph::Graph graph;
  sheet::Sheet course;  ///< see graph::usual_course
};

/// Writes a stage: how long it lasts and where it stands, its climate by day, its work, what to do
/// `if`.
void write_method_stage(Html& html, const Method& method, language::StageId stage);

}  // namespace budwood::paper
