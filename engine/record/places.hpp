/// Batches, stages and orders as entries name them. Private to this module.
#pragma once

#include <optional>

#include "record/understand.hpp"

namespace budwood::record {

/// Where something happened, looked up.
struct Place {
  std::string batch;
  std::string within;  ///< "", a stage, a work or an order
  const language::Protocol* protocol = nullptr;
  const language::Stage* stage = nullptr;  ///< none: the whole batch
};

/// Looks up `BM27-1/grafting/2/1`; for work that is done a place is filled up to the one order that
/// it can be. A stage may have gone on until `day`, when the entry says that it happened. What is
/// wrong is reported.
std::optional<Place> find_place(const language::syntax::EntryLine& line, const Known& known,
                                calendar::Day day, text::Diagnostics& diagnostics);

}  // namespace budwood::record
