/// Values of a book are written back as people wrote them: comments, order and layout stay, only
/// the bytes of the value change.
///
///   rewrite_batches(text, {{"BM27-1", {"plants"}, "260"}, {"BM27-1", {"set", "take"}, "80 %"}})
///
/// The file is not written from a tree, which would lose all that a tree does not know of, but
/// changed at the places that the tree has for it; what comes out is read again and compared.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "book/batches/batch.hpp"

namespace budwood::book {

/// Another value for a batch in batches.yaml.
struct Rewrite {
  std::string batch;              ///< as it stands in the file
  std::vector<std::string> keys;  ///< {"plants"}, {"set", "take"}, {"pins", "rooting.end"}
  /// Nothing: the value is taken out. A comment behind it stays.
  std::optional<std::string> value;
};

/// Makes the changes in the text of a batches.yaml, all or none. Of the dates of which a batch has
/// one (`ready`, `start`, `not_before`) a new one takes the place of the old one. Gives why it
/// cannot be, in words for whoever wanted the change; "" when all is well.
std::string rewrite_batches(std::string& text, const std::vector<Rewrite>& changes);

/// Adds a batch at the end of the list, laid out as the batches before it. Gives why it cannot be;
/// "" when all is well.
std::string append_batch(std::string& text, const Batch& batch);

/// A value as it is written in such a text, without quotes; nothing when it is not there.
std::optional<std::string> written_value(const std::string& text, const std::string& batch,
                                         const std::vector<std::string>& keys);

}  // namespace budwood::book
