#include "editor/positions.hpp"

#include <algorithm>

#include "text/text.hpp"

namespace budwood::editor {

namespace {

struct Character {
  std::size_t bytes = 1;
  std::uint32_t units = 1;
};

/// The character at the front; a byte that begins none counts as one.
Character front(std::string_view rest) {
  const std::size_t bytes = text::character_length(rest);
  return bytes == 0 ? Character{} : Character{bytes, bytes == 4 ? 2U : 1U};
}

}  // namespace

Lines::Lines(std::string_view text) : text_(text), starts_{0} {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool pair = text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n';
    if ((text[i] == '\n' || text[i] == '\r') && !pair) starts_.push_back(i + 1);
  }
}

std::string_view Lines::line(std::size_t number) const {
  if (number >= starts_.size()) return {};
  const std::size_t begin = starts_[number];
  const std::size_t end = number + 1 < starts_.size() ? starts_[number + 1] : text_.size();
  std::string_view line = text_.substr(begin, end - begin);
  while (!line.empty() && (line.back() == '\n' || line.back() == '\r')) line.remove_suffix(1);
  return line;
}

Position Lines::position(std::size_t offset) const {
  offset = std::min(offset, text_.size());
  const auto after = std::upper_bound(starts_.begin(), starts_.end(), offset);
  const auto number = static_cast<std::size_t>(after - starts_.begin()) - 1;
  const std::string_view words = line(number);
  const std::size_t wanted = std::min(offset - starts_[number], words.size());
  std::uint32_t units = 0;
  for (std::size_t i = 0; i < wanted;) {
    const Character one = front(words.substr(i));
    if (i + one.bytes > wanted) break;
    i += one.bytes;
    units += one.units;
  }
  return {static_cast<std::uint32_t>(number), units};
}

std::size_t Lines::offset(Position position) const {
  if (position.line >= starts_.size()) return text_.size();
  const std::string_view words = line(position.line);
  std::size_t i = 0;
  std::uint32_t units = 0;
  while (i < words.size()) {
    const Character one = front(words.substr(i));
    if (units + one.units > position.character) break;
    i += one.bytes;
    units += one.units;
  }
  return starts_[position.line] + i;
}

}  // namespace budwood::editor
