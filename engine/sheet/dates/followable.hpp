/// A protocol that cannot be followed in every case is a warning, no error: with its usual
/// lengths it still plans, and the grower must know what nature can do to it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sheet/dates/dates.hpp"
#include "sheet/row.hpp"

namespace budwood::sheet {

/// Why a protocol cannot be followed: the lengths that nature may pick and the limits that then
/// cannot be met, and what would make room.
struct NotFollowable {
  std::vector<DateConflict::Line> lines;
  std::vector<std::string> repairs;  ///< waits that would have to grow, one alone each
  int misses = 0;                    ///< days that are lacking
};

/// Whether the batch in `row` can be followed whatever lengths nature picks inside the ranges, when
/// the grower chooses the waits knowing only what has happened so far: dynamic controllability of a
/// simple temporal network with uncertainty (Morris & Muscettola 2005; decided after Morris 2014,
/// see network/controllability.hpp). Every day counts as a working day here; a wait for the next
/// working day counts as up to three days. Nothing when it can be followed, or when a length has no
/// value.
std::optional<NotFollowable> check_followable(const Row& row);

}  // namespace budwood::sheet
