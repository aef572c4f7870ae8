/// Private to this module.
#pragma once

#include "editor/completion.hpp"

namespace budwood::editor {

/// What may stand at a place of site.yaml or batches.yaml: the keys of the map that is typed there,
/// names that the protocols around ask for, protocols, variants and rule sets.
std::vector<Completion> complete_book(const Workspace& workspace, const Document& document,
                                      Position position);

}  // namespace budwood::editor
