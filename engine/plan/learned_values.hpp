/// What of learned.yaml holds for a protocol.
#pragma once

#include "book/book.hpp"
#include "sheet/columns/given.hpp"

namespace budwood::plan {

/// What was learned of an input of a protocol as it is now; nullptr when nothing was, when it was
/// learned of another edition or when the protocol has another usual value now. What was learned of
/// a method holds for its variants too, but for inputs that a variant sets itself.
const book::LearnedValue* learned_of(const book::Book& book, const language::Protocol& protocol,
                                     language::InputId input);

/// Gives the inputs of a protocol what was learned of them. What no longer holds is told.
void set_learned(const book::Book& book, const sheet::Template& t, sheet::GivenValues& out,
                 text::Diagnostics& diagnostics);

}  // namespace budwood::plan
