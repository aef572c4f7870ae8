#pragma once

#include <optional>
#include <vector>

#include "record/entry.hpp"

namespace budwood::record {

/// The entries that hold: what was corrected or withdrawn is left out, and so are withdrawals. An
/// entry counts only against earlier ones. Of an entry and all that corrects it, and all that
/// corrects those, at most one holds: the one noted last, without those that were withdrawn. What a
/// withdrawn correction had replaced holds again, and so does what a withdrawn withdrawal took
/// back. In the order noted.
std::vector<Entry> standing(std::vector<Entry> entries);

/// What has become of an entry.
struct Fate {
  bool holds = false;
  std::optional<std::size_t> by;  ///< the entry that took its place, or took it back
};
/// Of entries in the order noted, one for each.
std::vector<Fate> fates_of(const std::vector<Entry>& entries);

}  // namespace budwood::record
