/// Numbers as people write them into cells of a work sheet. Private to this module.
#pragma once

#include <optional>

#include "language/tree/entry_syntax.hpp"

namespace budwood::record {

/// "291", "291 plants", "281 of 300"; nothing when it is no number of plants.
std::optional<language::syntax::EntryNumber> read_plants(const language::syntax::Text& cell);

/// People's time in seconds: "6.5" (hours), "6:10", "6:10:00", "6 h 10 min", "6h10", "370 min";
/// nothing when it is no time.
std::optional<language::syntax::EntryNumber> read_time(const language::syntax::Text& cell);

}  // namespace budwood::record
