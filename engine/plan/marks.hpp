#pragma once

#include <cstdint>
#include <string>

#include "sheet/row.hpp"

namespace budwood::plan {

/// Where the value of a cell comes from.
enum class Mark : std::uint8_t {
  none,      ///< worked out, or the usual value of the protocol
  recorded,  ///< seen or counted
  pinned,    ///< a date that the batch fixes
  batch,     ///< the batch's own value
  lot,       ///< what the tests of the lots say that the batch takes
  site,      ///< the site's own value
  learned,   ///< what its record taught: learned.yaml
};
Mark mark_of(const sheet::Row& row, sheet::CellId cell);

/// In which layer it was said what a cell is: "batch", "site", "learned", "protocol", or the name
/// and edition of the protocol on which that one is based.
std::string layer_of(const sheet::Row& row, sheet::CellId cell);

}  // namespace budwood::plan
