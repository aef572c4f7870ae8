/// A batch of several cultivars. Private to this module.
///
/// A cultivar is a batch of its own that shares its dates with the others, because lengths do
/// not depend on it. Work that does not grow with the plants counts for the first alone,
/// through one cell of the sheet (`batch.lead`) that is 1 or 0.
#pragma once

#include <string>
#include <vector>

#include "book/batches/batch.hpp"
#include "book/yaml/values.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// `cultivars: {Bonita: 200, Rex: 100}`.
struct Cultivar {
  std::string name;
  Placed<std::int64_t> plants;
};

/// The cultivars of a batch; none when it is of one kind, or they are wrong, which is reported.
std::vector<Cultivar> read_cultivars(const Fields& fields, text::Diagnostics& diagnostics);

/// Each batch once for each cultivar, called ID-c1, ID-c2, ...; the first is the lead. Names that
/// become too long are reported, and nothing.
std::vector<Batch> split_by_cultivar(const std::vector<Batch>& batches,
                                     const std::vector<Cultivar>& cultivars, std::size_t longest_id,
                                     text::Diagnostics& diagnostics);

}  // namespace budwood::book
