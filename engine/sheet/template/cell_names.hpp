#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sheet/template/template.hpp"

/// How people call cells.
namespace budwood::sheet {

/// The cell of a name; when there is none, that of the batch: `ready` is short for `batch.ready`.
/// no_cell when there is neither.
CellId find_cell(const Template& t, std::string_view name);

/// The cell that a formula asks for: a property of a stage, or of the batch (Node::of_batch).
CellId cell_of(const Template& t, std::int32_t stage, language::Property property);

/// What a name may have been meant for: "Did you mean `rooting.start`?", or, of a stage, the values
/// that it has. "" when nothing is near.
std::string cell_advice(const Template& t, const std::string& name);

}  // namespace budwood::sheet
