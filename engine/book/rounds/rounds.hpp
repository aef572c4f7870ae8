/// Rounds through rooms become batches whose plants are cards: so each round is an order with
/// hours, cards and counts like any other, in every output, and what was counted is noted and kept.
#pragma once

#include <vector>

#include "book/batches/batch.hpp"
#include "book/site/site.hpp"
#include "language/language.hpp"

namespace budwood::book {

/// What the batch of a room's rounds is called: "scout-house".
std::string round_name(const std::string& room);

/// Gives a book a batch for each room with `scout`, and the method that it follows.
void add_rounds(const Site& site, text::Sources& sources, text::Diagnostics& diagnostics,
                std::vector<language::Protocol>& protocols, std::vector<Batch>& batches);

}  // namespace budwood::book
