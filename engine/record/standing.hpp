#pragma once

#include <vector>

#include "record/entry.hpp"

namespace budwood::record {

/// The entries that hold: what was corrected or withdrawn is left out, and so are withdrawals. An
/// entry counts only against earlier ones; of several corrections of one entry the last holds; what
/// a withdrawn correction had replaced holds again. In the order noted.
std::vector<Entry> standing(std::vector<Entry> entries);

}  // namespace budwood::record
