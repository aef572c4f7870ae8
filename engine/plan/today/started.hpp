/// Starts that nobody noted, and stages that went on, follow from what was noted. Private to this
/// module.
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

/// Adds up to which day stages went on, as turns of their repeated work are done that are due on
/// it. To be called once their starts are known.
void add_lasted(const book::Batch& batch, const language::Protocol& protocol,
                sheet::BatchFacts& facts);

/// Adds the ends of stages of hours of which all work is done and whose end nobody noted: they were
/// over with the last of it.
void add_finished(const book::Batch& batch, const language::Protocol& protocol,
                  sheet::BatchFacts& facts);

}  // namespace budwood::plan
