/// The left side of a what-if. Private to this module.
#pragma once

#include <string>
#include <vector>

#include "sheet/template/template.hpp"

namespace budwood::plan {

/// What a name means in a protocol to somebody who wants to set it.
struct Target {
  enum class Kind : std::uint8_t {
    input,
    plants,
    sure,
    spare,
    full_trays,
    ready,
    start,
    not_before,
    demand,  ///< `index`: least, usual, most, too_many, too_few
    stage_date,
    count,       ///< what was left of a stage
    worked_out,  ///< a value that cannot be set
    unknown
  };
  Kind kind = Kind::unknown;
  std::size_t index = 0;                ///< of the input or the stage
  bool end = false;                     ///< of a stage's dates
  sheet::CellId cell = sheet::no_cell;  ///< that holds it; none for `start`
};

/// What of every batch can be set, whatever its protocol.
inline constexpr const char* batch_values[] = {"plants", "sure",  "spare",     "full_trays",
                                               "ready",  "start", "not_before"};

/// What of a demand can be set: `demand.least`.
inline constexpr const char* demand_values[] = {"least", "usual", "most", "too_many", "too_few"};

/// An input goes before what every batch has; `batch.ready` is always the batch's.
Target find_target(const sheet::Template& t, const std::string& name);

/// What can be set to move a value that is worked out, nearest first.
std::vector<std::string> settable_behind(const sheet::Template& t, sheet::CellId cell);

/// All that can be set.
std::vector<std::string> settable_names(const sheet::Template& t);

}  // namespace budwood::plan
