/// Private to this module.
#pragma once

#include <optional>

#include "book/site/label_sheet.hpp"
#include "book/yaml/yaml_tree.hpp"

namespace budwood::book {

/// The value of `labels:`. Margins that are not given put the labels in the middle of the page.
/// Nothing when something is wrong, which is reported: labels that do not fit on the page with it.
std::optional<LabelSheet> read_labels(const Node& node, text::Diagnostics& diagnostics);

}  // namespace budwood::book
