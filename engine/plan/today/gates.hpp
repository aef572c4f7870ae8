/// Gates that were seen. Private to this module.
#pragma once

#include "book/book.hpp"
#include "language/model.hpp"
#include "sheet/site/site.hpp"

namespace budwood::plan {

/// Adds the ends of stages whose gate was seen and whose end nobody noted: the first day on which
/// all that the gate asks for was so, by what was last seen of each. Values that hang on inputs are
/// not judged.
void add_gates_seen(const book::Book& book, const book::Batch& batch,
                    const language::Protocol& protocol, sheet::BatchFacts& facts);

}  // namespace budwood::plan
