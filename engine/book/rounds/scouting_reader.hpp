#pragma once

#include <optional>

#include "book/rounds/scouting.hpp"
#include "book/yaml/yaml_tree.hpp"

namespace budwood::book {

/// The value of `scout:` of a room.
std::optional<Scouting> read_scouting(const Node& node, text::Diagnostics& diagnostics);

}  // namespace budwood::book
