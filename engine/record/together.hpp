/// Whether what is to be noted can be, beside what is noted already.
#pragma once

#include "record/understand.hpp"

namespace budwood::record {

/// An entry that is to be noted, and the place where its day is told.
struct Fresh {
  Entry entry;
  text::Span span;
};

/// Reports what cannot have happened, as far as entries alone show it: a stage that ended before it
/// began, anything that happened to a batch that was given up before, a day years away from the
/// days of its batch. `there` are all entries of the batches in question, in any order.
void check_together(const std::vector<Entry>& there, const std::vector<Fresh>& fresh,
                    const Known& known, text::Diagnostics& diagnostics);

}  // namespace budwood::record
