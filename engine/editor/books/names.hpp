/// Private to this module.
#pragma once

#include "editor/family.hpp"

namespace budwood::editor {

/// Where the site.yaml and batches.yaml of the books around a document name one of the things of
/// its protocols: rooms, crews, supplies, inputs, stages, protocols, rule sets.
std::vector<Location> places_in_books(const Workspace& workspace, const Document& document,
                                      const Family& family, NameSpace space,
                                      const std::string& name, std::size_t owner);

}  // namespace budwood::editor
