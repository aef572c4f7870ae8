/// Networks of differences alone: consistency, the minimal network, and ranges of dates.
///
/// The shortest paths come from Boost.Graph, independently of Solver's propagation.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "network/time_network.hpp"

namespace budwood::network {

/// to - from <= bound, in any whole unit; bounds within 2^40 either way.
struct Difference {
  std::size_t from = 0, to = 0;
  std::int64_t bound = 0;
};

/// One solution, or nothing when the differences contradict each other: the latest one in which no
/// point is after 0. Bellman-Ford from a source before all points, O(n m) (Cormen, Leiserson,
/// Rivest & Stein, Introduction to Algorithms, 24.4).
std::optional<std::vector<std::int64_t>> solve_differences(
    std::size_t points, const std::vector<Difference>& differences);

/// For each pair of points the tightest bound that all differences together imply. Any solution of
/// the part can be completed to a solution of the whole (Dechter, Meiri & Pearl 1991, theorem 3.3).
class MinimalNetwork {
 public:
  std::size_t point_count() const { return points_; }
  /// The least upper bound of to - from; nothing when there is none.
  std::optional<std::int64_t> bound(std::size_t from, std::size_t to) const;

 private:
  friend std::optional<MinimalNetwork> minimal_network(std::size_t, const std::vector<Difference>&);
  std::size_t points_ = 0;
  std::vector<std::int64_t> bounds_;  ///< by row
};

/// Nothing when the differences contradict each other. Johnson's algorithm, O(n m log n).
std::optional<MinimalNetwork> minimal_network(std::size_t points,
                                              const std::vector<Difference>& differences);

/// The differences of a network: its links, and its dates as differences from one more point that
/// stands for day 0 and has the number `network.point_count()`. Sets of days and lengths are left
/// out.
std::vector<Difference> differences_of(const Network& network);

/// The days between which a date can fall; an absent side is not bounded.
struct DateRange {
  std::optional<Day> earliest, latest;
  friend bool operator==(const DateRange&, const DateRange&) = default;
};

/// The earliest and the latest day of every point that the links and dates of a network allow, sets
/// of days and lengths left out: with nature's ranges as links, what nature and the grower together
/// can make of each date. Nothing when they contradict each other. O(n m): two shortest-path
/// passes.
std::optional<std::vector<DateRange>> date_ranges(const Network& network);

}  // namespace budwood::network
