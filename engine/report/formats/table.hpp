#pragma once

#include <iosfwd>
#include <string>
#include <string_view>
#include <vector>

#include "drawing/drawing.hpp"
#include "text/text.hpp"

namespace budwood::report {

/// How text for people is laid out.
struct Style {
  text::Colour colour = text::Colour::never;
  std::size_t width = 100;  ///< columns of the terminal or page
  /// What is asked for to see all of an answer that is told in short.
  std::string_view for_all = "--all";
};

/// What a piece of text is, for its colour on a terminal.
enum class Ink { plain, strong, faint, warning };

/// The text in its colour, or as it is when there are no colours.
std::string inked(std::string_view text, Ink ink, const Style& style);

using drawing::wrap;

std::string spaces(std::size_t count);
/// Printable text filled up with spaces to `width` columns.
std::string pad_right(std::string_view text, std::size_t width);
std::string pad_left(std::string_view text, std::size_t width);

inline constexpr std::size_t indent = 2;  ///< of what stands under a heading
inline constexpr std::size_t gap = 2;     ///< between columns

/// Rows of cells under a head, each column as wide as it needs to be. When that is too much for the
/// page, the widest columns of text wrap, then their longest words are broken, then short entries
/// wrap. Numbers never do: a table that cannot be made to fit is wider than the page.
class Table {
 public:
  enum class Kind {
    text,
    entry,  ///< short, better kept on one line: dates, names
    number  ///< on the right
  };
  struct Column {
    std::string head;  ///< may have line breaks
    Kind kind = Kind::text;
  };

  explicit Table(std::vector<Column> columns) : columns_(std::move(columns)) {}

  /// One cell a column; missing ones are empty.
  void add(std::vector<std::string> cells);
  bool empty() const { return rows_.empty(); }
  void write(std::ostream& out, const Style& style, std::size_t left = 0) const;

 private:
  std::vector<std::size_t> widths(std::size_t available) const;
  void write_row(std::ostream& out, const std::vector<std::string>& cells,
                 const std::vector<std::size_t>& widths, std::size_t left, Ink ink,
                 const Style& style) const;

  std::vector<Column> columns_;
  std::vector<std::vector<std::string>> rows_;
};

}  // namespace budwood::report
