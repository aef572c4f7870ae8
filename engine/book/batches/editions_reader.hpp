/// Private to this module.
#pragma once

#include "book/batches/batch.hpp"
#include "book/batches/editions.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "language/language.hpp"
#include "language/model.hpp"

namespace budwood::book {

/// `editions.yaml`: gives the batches the editions that they are on, and the protocols and rule
/// sets that were kept. Batches that the book no longer has are passed over with a warning.
std::vector<KeptEdition> read_editions(const Node& tree, std::vector<Batch>& batches,
                                       text::Diagnostics& diagnostics);

/// Warns of protocols and rule sets that mean something else under the number that was kept.
void check_editions(const std::vector<KeptEdition>& kept, const language::Document& library,
                    text::Diagnostics& diagnostics);

}  // namespace budwood::book
