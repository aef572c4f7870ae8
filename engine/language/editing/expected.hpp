/// What may stand at a place of a text, for completion. The text before the place is followed
/// through the grammar itself, all ways at once, so that there is no second list of what follows
/// what; where it makes no sense, following goes on with the next statement of the block, as the
/// parser does.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "language/editing/name_kind.hpp"
#include "text/text.hpp"

namespace budwood::language {

/// A statement that may begin at a place, with an example of it.
struct ExpectedStatement {
  std::string_view words;  ///< "may wait"
  std::string_view form;   ///< "may wait 3 days"
};

struct Expected {
  text::Span word;           ///< what has been typed of a word up to the place; empty between words
  bool inside_text = false;  ///< in quotes or in a comment: nothing of the language belongs here
  std::vector<ExpectedStatement> statements;
  std::vector<std::string> words;  ///< words of the language that go on with a statement
  std::vector<NameKind> names;     ///< kinds of names that may be used here, none that are declared
  bool number = false;
  bool text = false;  ///< text in quotes
  /// The statement in which the place is, by its first word ("keep"), and the name behind it
  /// ("humidity"); "" at the beginning of one.
  std::string statement;
  std::string subject;
  std::size_t statement_begin = 0;  ///< in bytes
  std::string property_of;          ///< behind a point: the name in front of it
  std::string block;                ///< "a stage"
};

Expected expected_at(const text::Source& source, std::uint32_t offset);

/// The form of a statement that begins with this word, in whatever block; "" when none does.
std::vector<ExpectedStatement> statements_beginning(std::string_view word);

/// The words of the language, which no name can be, in the order of the grammar.
std::vector<std::string> keywords();

}  // namespace budwood::language
