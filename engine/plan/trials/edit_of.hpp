#pragma once

#include <optional>

#include "plan/trials/what_if.hpp"
#include "sheet/columns/edit.hpp"

namespace budwood::plan {

/// A change that was tried out as an edit of the sheets of its plan, with the same values. Nothing
/// for what sheets cannot be told one value at a time: changes of the site, and `not_before`; these
/// are planned anew.
std::optional<sheet::Edit> edit_of(const Plan& plan, const Change& change);

}  // namespace budwood::plan
