#pragma once

#include "editor/workspace.hpp"

namespace budwood::editor {

/// A line that is shown above a line of the text.
struct Lens {
  Range range;
  std::string title;
};

/// Above each stage its usual days, plants and hours when 1,000 plants are ordered; above each
/// batch of a book when it starts, when it is ready, and its conflicts.
std::vector<Lens> lenses(const Workspace& workspace, const Document& document);

}  // namespace budwood::editor
