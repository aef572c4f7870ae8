#pragma once

#include <cstddef>
#include <vector>

namespace budwood::language {

/// A block of the grammar and the statements that may stand in it.
struct Block {
  std::size_t rule;                     ///< the parser's rule
  const char* where;                    ///< as it reads in a sentence: "a stage"
  unsigned stands;                      ///< its bit in the table of statements
  std::vector<std::size_t> statements;  ///< the token types that start them
};

/// The block that a parser's rule is, or nullptr when it is none.
const Block* block_of(std::size_t rule);

bool holds(const std::vector<std::size_t>& types, std::size_t type);

/// Whether a token type is a word of the language, which no name can be.
bool is_keyword(std::size_t token_type);

/// Whether a token type starts a statement of any block.
bool starts_statement(std::size_t token_type);

}  // namespace budwood::language
