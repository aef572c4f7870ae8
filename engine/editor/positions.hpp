/// Places in a text as editors count them: lines and, in a line, UTF-16 code units, both from 0. A
/// character beyond the first plane of Unicode counts twice. The engine counts bytes.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

namespace budwood::editor {

struct Position {
  std::uint32_t line = 0;
  std::uint32_t character = 0;
  friend auto operator<=>(const Position&, const Position&) = default;
};

struct Range {
  Position begin, end;
  friend auto operator<=>(const Range&, const Range&) = default;
};

/// The lines of a text that stays where it is. A line ends with \n, \r\n or \r.
class Lines {
 public:
  explicit Lines(std::string_view text);

  /// A byte offset beyond the text is its end, one inside a character its beginning.
  Position position(std::size_t offset) const;
  Range range(std::size_t begin, std::size_t end) const { return {position(begin), position(end)}; }
  /// Beyond the end of a line it is that end, beyond the last line the end of the text; between the
  /// two units of a character it is its beginning.
  std::size_t offset(Position position) const;
  std::size_t count() const { return starts_.size(); }
  /// Without its end; "" beyond the last one.
  std::string_view line(std::size_t number) const;

 private:
  /// A character's beginning inside a long line, so that its places are not counted from the first
  /// one.
  struct Mark {
    std::size_t offset = 0;
    std::uint32_t units = 0;  ///< before it in its line
  };
  void mark(std::size_t number);

  std::string_view text_;
  std::vector<std::size_t> starts_;
  std::vector<Mark> marks_;  ///< by offset
};

}  // namespace budwood::editor
