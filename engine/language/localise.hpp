#pragma once

#include <map>
#include <string>

#include "language/model.hpp"

namespace budwood::language {

/// What a site calls things, by a protocol's name for them. What is not there keeps its name.
struct OwnNames {
  std::map<std::string, std::string> rooms, crews, supplies;
};

/// Gives the rooms, crews and supplies of a protocol the site's own names; a supply's title too.
/// The file and its meaning stay as they are.
void use_names(const OwnNames& names, Protocol& protocol);

/// Shows the values of a protocol in the units of a system. Formulas keep their meaning, and so do
/// numbers that a site writes without a unit.
void show_in(units::System system, Protocol& protocol);

}  // namespace budwood::language
