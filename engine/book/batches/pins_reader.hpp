/// Dates and counts of the stages of a batch. Private to this module.
#pragma once

#include "book/batches/batch.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// `pins: {grafting.start: 2027-02-01}`. Mistakes are reported and left out.
/// Dates of stages, `grafting.start: 2027-02-01`, under `key`.
std::vector<Pin> read_dates_of_stages(const Node* node, std::string_view key,
                                      text::Diagnostics& diagnostics);

void read_pins(const Node* node, Batch& batch, text::Diagnostics& diagnostics);

/// `recorded: {grafting.start: 2027-02-03, grafting.left: 380}`. What was recorded goes before a
/// pin of the same date.
void read_recorded(const Node* node, Batch& batch, text::Diagnostics& diagnostics);

}  // namespace budwood::book
