#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace budwood::language {

/// A cycle in a directed graph of `count` vertices, as its vertices in the order of the arcs, or
/// nothing when there is none. Depth-first search, O(vertices + arcs).
std::vector<std::size_t> find_cycle(std::size_t count,
                                    const std::vector<std::pair<std::size_t, std::size_t>>& arcs);

/// The vertices of a graph without a cycle in an order in which each comes after all to which its
/// arcs lead.
std::vector<std::size_t> targets_first(
    std::size_t count, const std::vector<std::pair<std::size_t, std::size_t>>& arcs);

/// A cycle in words: "`a` VERB `b`, which VERB `a`". Of a long one the middle is left out.
std::string describe_cycle(const std::vector<std::string>& names, std::string_view verb);

}  // namespace budwood::language
