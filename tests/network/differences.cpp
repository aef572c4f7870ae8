#include "differences.hpp"

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/bellman_ford_shortest_paths.hpp>
#include <boost/graph/johnson_all_pairs_shortest.hpp>
#include <limits>

namespace budwood::network {
namespace {

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property,
                                    boost::property<boost::edge_weight_t, std::int64_t>>;
/// Boost.Graph's mark for "no path".
constexpr std::int64_t unreached = std::numeric_limits<std::int64_t>::max();

/// An arc from -> to of weight `bound` for each difference: shortest paths are implied bounds.
Graph graph_of(std::size_t points, const std::vector<Difference>& differences) {
  Graph graph(points);
  for (const Difference& difference : differences) {
    boost::add_edge(difference.from, difference.to, difference.bound, graph);
  }
  return graph;
}

/// Shortest distances, improved from the given ones. False for a negative cycle within reach.
bool relax(const Graph& graph, std::vector<std::int64_t>& distances) {
  return boost::bellman_ford_shortest_paths(
      graph, static_cast<int>(boost::num_vertices(graph)),
      boost::distance_map(distances.data()).weight_map(get(boost::edge_weight, graph)));
}

}  // namespace

std::optional<std::vector<std::int64_t>> solve_differences(
    std::size_t points, const std::vector<Difference>& differences) {
  // A source with an arc of weight 0 to every point comes to starting all of them at 0.
  std::vector<std::int64_t> days(points, 0);
  if (!relax(graph_of(points, differences), days)) return {};
  return days;
}

std::optional<std::int64_t> MinimalNetwork::bound(std::size_t from, std::size_t to) const {
  const std::int64_t value = bounds_[from * points_ + to];
  if (value == unreached) return {};
  return value;
}

std::optional<MinimalNetwork> minimal_network(std::size_t points,
                                              const std::vector<Difference>& differences) {
  MinimalNetwork minimal;
  minimal.points_ = points;
  minimal.bounds_.assign(points * points, unreached);
  if (points == 0) return minimal;
  Graph graph = graph_of(points, differences);
  std::vector<std::int64_t*> rows;
  for (std::size_t row = 0; row < points; ++row) rows.push_back(&minimal.bounds_[row * points]);
  if (!boost::johnson_all_pairs_shortest_paths(graph, rows)) return {};
  return minimal;
}

std::vector<Difference> differences_of(const Network& network) {
  const std::size_t origin = network.point_count();
  std::vector<Difference> differences;
  for (LinkId id = 0; id < network.link_count(); ++id) {
    const Network::Link& link = network.link(id);
    if (link.high) differences.push_back({link.from, link.to, *link.high});
    if (link.low) differences.push_back({link.to, link.from, -std::int64_t{*link.low}});
  }
  for (PointId id = 0; id < origin; ++id) {
    const Network::Point& point = network.point(id);
    if (point.not_after) differences.push_back({origin, id, *point.not_after});
    if (point.not_before) differences.push_back({id, origin, -std::int64_t{*point.not_before}});
  }
  return differences;
}

std::optional<std::vector<DateRange>> date_ranges(const Network& network) {
  const std::size_t origin = network.point_count();
  std::vector<Difference> differences = differences_of(network);
  // A contradiction out of reach of any date is one all the same.
  if (!solve_differences(origin + 1, differences)) return {};

  std::vector<DateRange> ranges(origin);
  std::vector<std::int64_t> distances(origin + 1, unreached);
  distances[origin] = 0;
  relax(graph_of(origin + 1, differences), distances);
  for (std::size_t id = 0; id < origin; ++id) {
    if (distances[id] != unreached) ranges[id].latest = static_cast<Day>(distances[id]);
  }
  for (Difference& difference : differences) std::swap(difference.from, difference.to);
  distances.assign(origin + 1, unreached);
  distances[origin] = 0;
  relax(graph_of(origin + 1, differences), distances);
  for (std::size_t id = 0; id < origin; ++id) {
    if (distances[id] != unreached) ranges[id].earliest = static_cast<Day>(-distances[id]);
  }
  return ranges;
}

}  // namespace budwood::network
