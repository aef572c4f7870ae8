/// Values of a book are written back as people wrote them: comments, order and layout stay, only
/// the bytes of the value change.
///
///   BatchesText batches(text);
///   batches.rewrite({{"BM27-1", {"plants"}, "260"}, {"BM27-1", {"set", "take"}, "80 %"}});
///
/// The file is not written from a tree, which would lose all that a tree does not know of, but
/// changed at the places that the tree has for it; what comes out is read again and compared.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
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

/// The text of a batches.yaml, cut where its batches begin: reading ten thousand batches takes much
/// longer than changing one of them, of which alone the lines are read again.
class BatchesText {
 public:
  explicit BatchesText(std::string text = "");

  std::string text() const;
  /// Whether a file still says what stands here.
  bool is(std::string_view text) const;
  /// Makes the changes, all or none. Of the dates of which a batch has one (`ready`, `start`,
  /// `not_before`) a new one takes the place of the old one. Gives why it cannot be, in words for
  /// whoever wanted the change; "" when all is well.
  std::string rewrite(const std::vector<Rewrite>& changes);
  /// A value as it is written, without quotes; nothing when it is not there.
  std::optional<std::string> written_value(const std::string& batch,
                                           const std::vector<std::string>& keys) const;

 private:
  /// The piece with the batch of a name; nothing when it does not stand by itself.
  std::optional<std::size_t> piece_of(const std::string& batch) const;
  std::string alone(const std::string& piece) const;

  std::vector<std::string> pieces_;  ///< what stands before the batches, then each batch
  std::string head_;                 ///< before a piece makes a file of it that can be read
  std::unordered_map<std::string, std::size_t> places_;
};

/// Adds a batch at the end of the list, laid out as the batches before it. Gives why it cannot be;
/// "" when all is well.
std::string append_batch(std::string& text, const Batch& batch);

}  // namespace budwood::book
