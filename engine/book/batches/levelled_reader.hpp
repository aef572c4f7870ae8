/// Private to this module.
///
/// What levelling chose is data beside the batches, not an edit of what people wrote. Plans
/// obey it as they obey pins; a batch that can no longer keep its dates falls back to its own
/// and says so.
#pragma once

#include "book/batches/batch.hpp"
#include "book/yaml/yaml_tree.hpp"

namespace budwood::book {

/// What a batch leaves to levelling: `early`, `late`, `priority`.
void read_freedom(const Node* early, const Node* late, const Node* priority, Batch& batch,
                  text::Diagnostics& diagnostics);

/// `done:` of a batch: orders, each with the day on which it was done.
void read_done(const Node* node, Batch& batch, text::Diagnostics& diagnostics);

/// `levelled.yaml`: gives the batches what levelling chose for them. Batches that the book no
/// longer has are passed over with a warning.
void read_levelled(const Node& tree, std::vector<Batch>& batches, text::Diagnostics& diagnostics);

}  // namespace budwood::book
