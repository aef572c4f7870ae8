/// Private to this module.
#pragma once

#include "editor/outline.hpp"

namespace budwood::editor {

/// The parts of site.yaml and batches.yaml with what has a name in them: rooms, crews, supplies,
/// batches.
std::vector<OutlineLine> outline_of_book(const Document& document);

}  // namespace budwood::editor
