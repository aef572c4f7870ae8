#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace budwood::text {

class Diagnostics;

/// A place for people: line and column count from 1, columns in characters (code points).
struct Place {
  std::size_t line = 1;
  std::size_t column = 1;
};

class Source;

/// A stretch of a source, in bytes. Without a source it stands for "no place in any file".
struct Span {
  const Source* source = nullptr;
  std::uint32_t begin = 0;
  std::uint32_t end = 0;
};

/// Makes a line of a source, counted from 0, without a line break.
using LineMaker = std::function<std::string(std::size_t)>;

/// One file of user text, held whole, or lines that are made when somebody asks for them: of a
/// record there may be a million, of which few are ever told. Offsets are bytes into `text()`; of
/// lines that are made twice their number, and one more at their ends.
class Source {
 public:
  Source(std::string name, std::string text);
  Source(std::string name, std::size_t lines, LineMaker maker);

  const std::string& name() const { return name_; }
  /// "" of lines that are made.
  std::string_view text() const { return text_; }

  /// The place of a byte offset; an offset past the end is the place just after the last byte.
  Place place(std::size_t offset) const;
  /// The line alone, which is quicker to find.
  std::size_t line_of(std::size_t offset) const;
  /// A line without its line break; `number` counts from 1, "" when there is no such line.
  std::string_view line(std::size_t number) const;
  /// The byte offset of a place; past the end of its line it is the line's end.
  std::size_t offset(Place place) const;
  /// A whole line that is made, counted from 0.
  Span made_line(std::size_t number) const;
  std::string_view text_of(const Span& span) const;

 private:
  /// The characters of the text before a byte offset.
  std::size_t characters_before(std::size_t offset) const;

  std::string name_;
  std::string text_;
  std::vector<std::size_t> line_starts_;
  /// Characters before each mark, so that a place on a line of a megabyte is not counted from the
  /// line's beginning.
  std::vector<std::size_t> characters_before_mark_;
  LineMaker maker_;
  std::size_t made_lines_ = 0;
  mutable std::unordered_map<std::size_t, std::string> made_;  ///< those that were asked for
};

/// The text of a span; "" without a source.
std::string_view text_of(const Span& span);

/// "file:line:column", or "" without a source.
std::string describe(const Span& span);

/// Owns sources at addresses that stay put, so that spans may point at them.
class Sources {
 public:
  const Source& add(std::string name, std::string text);
  const Source& add(std::string name, std::size_t lines, LineMaker maker);

 private:
  std::deque<Source> sources_;
};

/// Reports a source that is not UTF-8 text; true when it is.
bool is_text(const Source& source, Diagnostics& diagnostics);

/// Length in bytes of the character at the front of `rest`, which is not empty (well-formed UTF-8
/// after Unicode 15, table 3-7); 0 when there is none, or a NUL.
std::size_t character_length(std::string_view rest);

/// The byte offset of the first thing that is not valid UTF-8 (or is a NUL), or npos when all is
/// well.
std::size_t find_invalid_utf8(std::string_view text);

/// The number of characters (code points) in valid UTF-8 text.
std::size_t count_characters(std::string_view text);

}  // namespace budwood::text
