#pragma once

#include <optional>

#include "book/book.hpp"
#include "sheet/sheet.hpp"

namespace budwood::plan {

/// Holds what a batch says against its protocol: inputs, their units and ranges, pinned stages,
/// lots. Nothing when there is a mistake, which has been reported.
std::optional<sheet::BatchFacts> check_batch(const book::Batch& batch, const sheet::Template& t,
                                             text::Diagnostics& diagnostics);

/// The same for what a site says: its inputs for this protocol, and the rooms and crews that the
/// protocol needs.
sheet::Site check_site(const book::Site& site, const sheet::Template& t,
                       text::Diagnostics& diagnostics);

/// The protocol that a batch asks for, among those of its book; reports one that is not there.
const language::Protocol* find_protocol(const book::Book& book, const book::Batch& batch,
                                        text::Diagnostics& diagnostics);

}  // namespace budwood::plan
