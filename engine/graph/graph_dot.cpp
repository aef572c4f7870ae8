#include <ostream>

#include "graph/graph_writers.hpp"
#include "text/text.hpp"

namespace budwood::graph {

namespace {

/// Text as it is, in the quotes of the DOT language. Graphviz reads backslashes and the character
/// names of HTML inside them.
std::string dot_text(std::string_view text) {
  std::string out = "\"";
  for (const char c : text::printable(text)) {
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (c == '&') {
      out += "&amp;";
    } else {
      out += c;
    }
  }
  return out + "\"";
}

/// Lines of a label, below each other.
std::string quoted_lines(const std::vector<std::string>& lines) {
  std::string out;
  for (const std::string& line : lines) {
    const std::string piece = dot_text(line);
    if (!out.empty()) out += "\\n";
    out += piece.substr(1, piece.size() - 2);
  }
  return "\"" + out + "\"";
}

std::string days_text(const GraphStage& stage) {
  const std::string start = "day " + std::to_string(stage.start);
  return stage.end == stage.start ? start : start + " to day " + std::to_string(stage.end);
}

void write_stage(std::ostream& out, const Graph& graph, const GraphStage& stage) {
  std::vector<std::string> lines{stage.title};
  if (!graph.open) lines.push_back(days_text(stage));
  lines.insert(lines.end(), stage.details.begin(), stage.details.end());
  out << "    " << dot_text(stage.name) << " [label=" << quoted_lines(lines)
      << (stage.critical() ? ", penwidth=3" : "") << "];\n";
}

}  // namespace

void write_graph_dot(std::ostream& out, const Graph& graph) {
  out << "digraph " << dot_text(graph.name) << " {\n"
      << "  rankdir=LR;\n"
      << "  label=" << dot_text(graph.title + ", edition " + std::to_string(graph.edition)) << ";\n"
      << "  labelloc=t;\n"
      << "  node [shape=box, fontname=\"sans-serif\", fontsize=11];\n"
      << "  edge [fontname=\"sans-serif\", fontsize=10];\n";
  for (std::size_t p = 0; p < graph.parts.size(); ++p) {
    out << "  subgraph cluster_" << p << " {\n    label=" << dot_text(graph.parts[p]) << ";\n";
    for (const GraphStage& stage : graph.stages) {
      if (stage.part == p) write_stage(out, graph, stage);
    }
    out << "  }\n";
  }
  for (const GraphArrow& arrow : graph.arrows) {
    out << "  " << dot_text(graph.stages[arrow.from].name) << " -> "
        << dot_text(graph.stages[arrow.to].name);
    if (arrow.kind == GraphArrow::Kind::limit) {
      const std::string text = arrow.from_start ? "from its start: " + arrow.text : arrow.text;
      out << " [style=dashed, label=" << dot_text(text) << "]";
    }
    out << ";\n";
  }
  out << "}\n";
}

}  // namespace budwood::graph
