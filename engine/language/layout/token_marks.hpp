/// Private to this module.
#pragma once

#include <vector>

#include "language/parse/parser_run.hpp"

namespace budwood::language {

/// A column of declarations that follow each other, from left to right.
enum class Column : std::uint8_t { none, value, range, title, unit, details, meaning };

/// What the tree says of a token that its layout depends on.
struct TokenMark {
  std::size_t rule = 0;      ///< the innermost rule that it stands in
  std::size_t item = 0;      ///< with `begins_item`: which rule that item is
  bool begins_item = false;  ///< it begins a statement, a point of a table, a protocol
  bool opens = false;        ///< the brace that opens a block
  bool closes = false;       ///< the brace that closes one
  bool flat = false;         ///< of a brace: its block stands on one line
  bool wide = false;         ///< of a brace or an item: it has empty lines around it
  bool calls = false;        ///< a bracket behind the name of a function or table
  Column column = Column::none;
};

/// The marks of all tokens of a text that could be read, by their places in the stream.
std::vector<TokenMark> mark_tokens(ParserRun& run);

}  // namespace budwood::language
