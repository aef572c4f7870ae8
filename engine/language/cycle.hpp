#pragma once

#include <cstddef>
#include <utility>
#include <vector>

namespace budwood::language {

/// A cycle in a directed graph of `count` vertices, as its vertices in the order of the arcs, or
/// nothing when there is none. Depth-first search, O(vertices + arcs).
std::vector<std::size_t> find_cycle(std::size_t count,
                                    const std::vector<std::pair<std::size_t, std::size_t>>& arcs);

}  // namespace budwood::language
