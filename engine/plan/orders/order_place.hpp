/// Private to this module: what the name of a work order says of its place.
#pragma once

#include <optional>
#include <string_view>

#include "language/model.hpp"

namespace budwood::plan {

/// The parts of "grafting/2/1".
struct OrderPlace {
  language::StageId stage;
  language::WorkId work;
  std::size_t occurrence = 0;  ///< from 1
};

/// Nothing where the protocol has no such work, and for the later parts of work that was spread
/// over days.
std::optional<OrderPlace> place_of(std::string_view order, const language::Protocol& protocol);

}  // namespace budwood::plan
