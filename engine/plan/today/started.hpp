/// Starts that nobody noted follow from what was noted. Private to this module.
#pragma once

#include "book/book.hpp"
#include "language/model.hpp"
#include "sheet/site/site.hpp"

namespace budwood::plan {

/// Adds the starts of stages whose work of a day is done and whose start nobody noted: work of day
/// 3 that was done on a day began two days before. What is recorded of stages before and after goes
/// first.
void add_started(const book::Batch& batch, const language::Protocol& protocol,
                 sheet::BatchFacts& facts);

}  // namespace budwood::plan
