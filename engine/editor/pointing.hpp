#pragma once

#include "editor/names.hpp"

namespace budwood::editor {

/// What is said of something that is pointed at: Markdown.
struct Pointed {
  std::string text;
  Range range;
};

/// Of a name what it means, its unit, its value with the usual inputs and who uses it; of a stage
/// its dates in the batches of the book; of a keyword the form of its statement; of a unit, a
/// setting or a hazard what it is. Nothing where there is nothing to say.
std::optional<Pointed> point_at(const Workspace& workspace, const Document& document,
                                Position position);

}  // namespace budwood::editor
