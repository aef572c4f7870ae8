/// Private to this module.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "language/layout/token_marks.hpp"

namespace budwood::language {

/// A line in the making.
struct LaidLine {
  /// What begins at a column, up to the next; the first cell is in none.
  struct Cell {
    Column column = Column::none;
    std::string text;
  };
  std::size_t indent = 0;
  std::vector<Cell> cells;
  std::string comment;        ///< behind the statement
  std::size_t statement = 0;  ///< the rule of the statement that begins here; 0 for none
  bool blank_before = false;
  bool goes_on = false;  ///< the statement began on a line above

  bool empty() const { return cells.empty() && comment.empty(); }
};

/// The text of the lines, declarations and comments in columns where they follow each other.
std::string text_of(std::vector<LaidLine> lines);

}  // namespace budwood::language
