#include "language/check/cycle.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/depth_first_search.hpp>
#include <boost/graph/topological_sort.hpp>

namespace budwood::language {

namespace {

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS>;

/// Remembers from where each vertex was reached, and the first arc that leads back.
struct BackArc : boost::default_dfs_visitor {
  explicit BackArc(std::vector<std::size_t>& parents, std::vector<std::size_t>& cycle)
      : parents_(parents), cycle_(cycle) {}

  template <typename Edge>
  void tree_edge(Edge e, const Graph& g) {
    parents_[boost::target(e, g)] = boost::source(e, g);
  }

  template <typename Edge>
  void back_edge(Edge e, const Graph& g) {
    if (!cycle_.empty()) return;
    const std::size_t head = boost::target(e, g);
    for (std::size_t v = boost::source(e, g); v != head; v = parents_[v]) cycle_.push_back(v);
    cycle_.push_back(head);
    std::reverse(cycle_.begin(), cycle_.end());
  }

 private:
  std::vector<std::size_t>& parents_;
  std::vector<std::size_t>& cycle_;
};

}  // namespace

std::vector<std::size_t> find_cycle(std::size_t count,
                                    const std::vector<std::pair<std::size_t, std::size_t>>& arcs) {
  const Graph graph(arcs.begin(), arcs.end(), count);
  std::vector<std::size_t> parents(count, 0);
  std::vector<std::size_t> cycle;
  boost::depth_first_search(graph, boost::visitor(BackArc(parents, cycle)));
  return cycle;
}

std::vector<std::size_t> targets_first(
    std::size_t count, const std::vector<std::pair<std::size_t, std::size_t>>& arcs) {
  const Graph graph(arcs.begin(), arcs.end(), count);
  std::vector<std::size_t> order;
  boost::topological_sort(graph, std::back_inserter(order));
  return order;
}

std::string describe_cycle(const std::vector<std::string>& names, std::string_view verb) {
  constexpr std::size_t most = 8;
  std::string out = "`" + names.front() + "` ";
  out.append(verb);
  for (std::size_t i = 1; i < std::min(names.size(), most); ++i) {
    out.append(" `").append(names[i]).append("`, which ").append(verb);
  }
  if (names.size() > most) {
    out.append(" " + std::to_string(names.size() - most) + " more, the last of which ")
        .append(verb);
  }
  return out + " `" + names.front() + "`";
}

}  // namespace budwood::language
