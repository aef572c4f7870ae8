/// Work sheets that come back: a table with a row an order, whose empty columns were filled in.
///
/// A row becomes lines as they are read elsewhere, so that a cell is held to what a line is held
/// to; what is wrong with it is told with its row and column.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "language/tree/entry_syntax.hpp"
#include "text/text.hpp"

namespace budwood::record {

/// The heads of the columns that are read, by what stands below them; all others are passed over.
enum class ReturnColumn : std::uint8_t { order, done_on, by, plants, hours, seen, note };
inline constexpr std::array return_heads = {"Order", "Done on",          "By",  "Plants done",
                                            "Hours", "Seen and counted", "Note"};
inline constexpr std::size_t return_columns = return_heads.size();

/// One cell of a table. The place is that of a CSV file; in a workbook there is none.
struct Cell {
  std::string text;
  text::Span span;
};

/// A table as it is in a file, the row of heads first; rows may be of different lengths.
struct ReturnTable {
  std::vector<std::vector<Cell>> rows;
  std::vector<std::size_t> numbers;  ///< of each row, as the file counts them from 1
  std::string name;                  ///< of the file
};

/// Reads a table, and knows afterwards from which cell each line came. A cell is one thing:
/// whatever stands in it, it says nothing of another.
class Returns {
 public:
  Returns(const ReturnTable& table, text::Sources& sources);

  /// The lines, of rows in which something was filled in. What is wrong is put into `found`.
  std::vector<language::syntax::EntryLine> lines(text::Diagnostics& found);
  /// What was found in the lines, here and later, told of the cells.
  void tell(const text::Diagnostics& found, text::Diagnostics& diagnostics) const;

 private:
  using Line = language::syntax::EntryLine;

  /// What cells say, put together, so that a place in it is that of a cell.
  class CellText {
   public:
    text::Span add(std::size_t row, std::size_t column, const std::string& text);
    void end_line() { text_ += '\n'; }
    const text::Source& keep(text::Sources& sources, const std::string& name);
    const text::Source* source() const { return source_; }
    struct Piece {
      std::size_t begin = 0;
      std::size_t row = 0;  ///< in the table
      std::size_t column = 0;
    };
    const Piece& piece_at(std::size_t place) const;

   private:
    std::string text_;
    std::vector<Piece> pieces_;
    const text::Source* source_ = nullptr;
  };

  bool find_columns();
  std::size_t column_of(ReturnColumn column) const;
  const Cell* cell(std::size_t row, ReturnColumn column) const;
  bool is_sound(std::size_t row);
  bool is_sound_left_out(std::size_t row);
  void add_row(std::size_t row);
  void add_numbers(std::size_t row, Line& line);
  void add_sights(std::size_t row, const Line& work);
  std::size_t row_of_sight(const Line& line) const;
  std::vector<Line> read_sights(text::Diagnostics& found);
  language::syntax::Text text_of(std::size_t row, ReturnColumn column);
  void wrong(const std::string& code, std::size_t row, ReturnColumn column,
             const std::string& message, const std::string& advice);
  text::Diagnostic at(std::size_t row, std::size_t column, text::Diagnostic d) const;

  const ReturnTable& table_;
  text::Sources& sources_;
  std::array<std::size_t, return_columns> columns_{};
  std::vector<Line> lines_;        ///< of the work itself, as their rows stand
  std::vector<std::size_t> rows_;  ///< of these
  CellText cells_;                 ///< of these
  CellText sights_;                ///< what was seen and counted, a line each
  text::Diagnostics of_cells_;     ///< found before there were lines
};

/// "F7": a cell as spreadsheets name it; rows and columns from 0.
std::string cell_name(std::size_t row, std::size_t column);

}  // namespace budwood::record
