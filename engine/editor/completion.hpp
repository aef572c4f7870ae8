#pragma once

#include "editor/names.hpp"

namespace budwood::editor {

/// Something that may be put in at a place.
struct Completion {
  enum class Kind : std::uint8_t { statement, word, name, unit };
  Kind kind = Kind::word;
  std::string label;   ///< what is put in, unless `insert` says otherwise
  std::string detail;  ///< what it is, or an example
  std::string insert;
  Range range;   ///< what it takes the place of: the word that has been begun
  int rank = 0;  ///< those with less are meant more likely
};

/// What may stand at a place: statements of this block, words that go on with this statement, names
/// of the right kind and dimension, units that fit, hazards, settings; keys of a book.
std::vector<Completion> complete(const Workspace& workspace, const Document& document,
                                 Position position);

/// The units that fit a statement, the likeliest first: those of a setting, of a length of time, of
/// a rate. Empty where any may be meant.
std::vector<std::string> units_for(const std::string& statement, const std::string& subject);

}  // namespace budwood::editor
