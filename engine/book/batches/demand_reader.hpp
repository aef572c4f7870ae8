/// What is wanted of a batch, and not sure; and what is promised of it. Private to this module.
#pragma once

#include <optional>
#include <vector>

#include "book/batches/batch.hpp"
#include "book/site/site.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

/// Reads `demand` and `promised` of a batch. Without `plants` as many are aimed at as are promised,
/// else as are usually wanted.
void read_wanted(const Fields& fields, const Site& site, Batch& batch,
                 text::Diagnostics& diagnostics);

/// What is wanted, with a batch for each day on which some is promised, where no date is written.
std::vector<Batch> split_by_promise(const std::vector<Batch>& wanted);

}  // namespace budwood::book
