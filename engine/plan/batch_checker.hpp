#pragma once

#include <optional>
#include <string>
#include <utility>

#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book/site/site.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/template.hpp"

namespace budwood::plan {

/// The cell of an input and the value that a site or batch gives it, base units. A name, unit or
/// value that does not fit is reported.
std::optional<std::pair<sheet::CellId, double>> check_input(const std::string& name,
                                                            const book::Written& written,
                                                            const sheet::Template& t,
                                                            text::Diagnostics& diagnostics);

/// Whether people wrote the count behind a value, so that the two are held against each other, or
/// it was learned together with what the protocol says.
enum class Counted : std::uint8_t { by_hand, learned };
/// Sets an input, and for the stages whose losses it says the count that it rests on.
void set_input(const std::string& name, const book::Written& written, const sheet::Template& t,
               Counted by, sheet::GivenValues& inputs, text::Diagnostics& diagnostics);

/// Holds what a batch says against its protocol: inputs, their units and ranges, stages that are
/// pinned or recorded, lots. Nothing when there is a mistake, which has been reported.
std::optional<sheet::BatchFacts> check_batch(const book::Batch& batch, const sheet::Template& t,
                                             text::Diagnostics& diagnostics);

/// The same for what a site says: its inputs for this protocol, what was learned of them, and its
/// temperatures.
sheet::Site check_site(const book::Book& book, const sheet::Template& t,
                       text::Diagnostics& diagnostics);

/// The protocol that a batch asks for, among those of its book; reports one that is not there.
const language::Protocol* find_protocol(const book::Book& book, const book::Batch& batch,
                                        text::Diagnostics& diagnostics);

}  // namespace budwood::plan
