#pragma once

#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

namespace budwood::text {

class Diagnostics;

/// A place for people: line and column count from 1, columns in characters (code points).
struct Place {
  std::size_t line = 1;
  std::size_t column = 1;
};

/// One file of user text, held whole. Offsets are bytes into `text()`.
class Source {
 public:
  Source(std::string name, std::string text);

  const std::string& name() const { return name_; }
  std::string_view text() const { return text_; }

  /// The place of a byte offset; an offset past the end is the place just after the last byte.
  Place place(std::size_t offset) const;
  /// A line without its line break; `number` counts from 1, "" when there is no such line.
  std::string_view line(std::size_t number) const;
  /// The byte offset of a place; past the end of its line it is the line's end.
  std::size_t offset(Place place) const;

 private:
  std::string name_;
  std::string text_;
  std::vector<std::size_t> line_starts_;
};

/// A stretch of a source, in bytes. Without a source it stands for "no place in any file".
struct Span {
  const Source* source = nullptr;
  std::uint32_t begin = 0;
  std::uint32_t end = 0;
};

/// The text of a span; "" without a source.
std::string_view text_of(const Span& span);

/// "file:line:column", or "" without a source.
std::string describe(const Span& span);

/// Owns sources at addresses that stay put, so that spans may point at them.
class Sources {
 public:
  const Source& add(std::string name, std::string text);

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
