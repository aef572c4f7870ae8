#pragma once

#include "editor/names.hpp"

namespace budwood::editor {

/// A change that would mend a finding, or that is offered at a place.
struct Mend {
  std::string title;             ///< "Write `usually`", as it stands in a list of choices
  std::optional<Finding> mends;  ///< nothing: it changes the text for its own sake
  std::vector<FileEdit> edits;
  bool likely = false;  ///< it is most probably what was meant
};

/// What can be done about the findings that touch a range, and what is offered for it besides: the
/// nearest name or keyword, a missing unit, `usually`, a caution, a waiver with a reason, a
/// declaration, a closing brace or quote, a number as an input.
std::vector<Mend> mends_for(const Workspace& workspace, const Document& document,
                            const std::vector<Finding>& findings, Range range);

}  // namespace budwood::editor
