/// A batch that is split over several dates. Private to this module.
#pragma once

#include <optional>
#include <vector>

#include "book/batches/batch.hpp"
#include "book/yaml/values.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// The same batch again and again: `every: 7 days` and `times: 6`.
struct Series {
  int every = 1;  ///< days, 1 to 366
  int times = 2;  ///< 2 to 366
  text::Span span;
};

/// What a batch says of its repetition; nothing when it says nothing or is wrong, which is
/// reported.
std::optional<Series> read_series(const Fields& fields, text::Diagnostics& diagnostics);

/// The batches of a series, called ID-1, ID-2, ... and each `every` days after the one before.
/// Reported, and nothing: pins, dates beyond the calendar, and names that become too long.
std::vector<Batch> spread(const Batch& batch, const Series& series, std::size_t longest_id,
                          text::Diagnostics& diagnostics);

}  // namespace budwood::book
