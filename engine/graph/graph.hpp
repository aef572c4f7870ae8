#pragma once

#include <cstdint>
#include <iosfwd>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "sheet/template/template.hpp"

/// The dependency graph of a protocol, for people: what follows what, how long it takes, and which
/// stages decide how long the whole takes.
namespace budwood::graph {

/// A stage in its usual course. Days count from the start of the first stage, which is day 0.
struct GraphStage {
  std::string name;
  std::string title;
  std::size_t part = 0;  ///< in Graph::parts
  int start = 0, end = 0;
  int latest = 0;  ///< the latest end that nature's ranges allow
  /// By how many days it can last longer, started that much earlier, before the whole takes longer
  /// (total float after Kelley & Walker 1959). Unlike the float of a plan it does not ask how
  /// late a stage may run on dates that are fixed: those are planned as late as can be.
  int spare = 0;
  bool open = false;  ///< its length follows the site's temperatures; its days stand for any
  std::vector<std::string> details;  ///< "14 to 26 days, usually 18", "loses 8 %", ...

  bool critical() const { return spare == 0; }
};

struct GraphArrow {
  enum class Kind {
    plants,  ///< the plants go on
    join,    ///< the plants are joined with others
    limit,   ///< only the dates are bound: `after`, `starts within`
  };
  Kind kind = Kind::plants;
  std::size_t from = 0, to = 0;  ///< in Graph::stages; to the start of `to`
  bool from_start = false;       ///< from the start of `from`, else from its end
  std::string text;              ///< of a limit: "10 to 30 days later"
};

struct Graph {
  std::string name;
  std::string title;
  int edition = 1;
  /// Titles, each after the parts whose plants go into it; parts without stages are left out.
  std::vector<std::string> parts;
  std::vector<GraphStage> stages;  ///< as in the protocol
  std::vector<GraphArrow> arrows;
  int days = 0;       ///< from the first start to the day on which the plants are ready
  bool open = false;  ///< some stage is, so all days stand for others
};

/// The graph of a protocol in which trying it out found no errors: with its usual inputs, people
/// working every day, as short as can be. Nothing when its seasons and waits leave no such course;
/// that is reported.
std::optional<Graph> make_graph(const std::shared_ptr<const sheet::Template>& t,
                                text::Diagnostics& diagnostics);

enum class GraphFormat {
  svg,  ///< a picture along the days, in black and white
  dot   ///< the graph alone, in the language of Graphviz
};

void write_graph(std::ostream& out, const Graph& graph, GraphFormat format);

}  // namespace budwood::graph
