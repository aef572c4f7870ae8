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
  for (std::size_t number = 0; number < starts_.size(); ++number) mark(number);
}

void Lines::mark(std::size_t number) {
  constexpr std::size_t between = 500;
  const std::string_view words = line(number);
  Mark at{starts_[number], 0};
  std::size_t last = at.offset;
  for (std::size_t i = 0; words.size() > between && i < words.size();) {
    const Character one = front(words.substr(i));
    i += one.bytes;
    at = {starts_[number] + i, at.units + one.units};
    if (at.offset - last < between) continue;
    marks_.push_back(at);
    last = at.offset;
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
  const std::size_t end = std::min(offset, starts_[number] + line(number).size());
  const auto later = std::upper_bound(marks_.begin(), marks_.end(), end,
                                      [](std::size_t a, const Mark& b) { return a < b.offset; });
  Mark at{starts_[number], 0};
  if (later != marks_.begin() && std::prev(later)->offset > at.offset) at = *std::prev(later);
  while (at.offset < end) {
    const Character one = front(text_.substr(at.offset));
    if (at.offset + one.bytes > end) break;
    at = {at.offset + one.bytes, at.units + one.units};
  }
  return {static_cast<std::uint32_t>(number), at.units};
}

std::size_t Lines::offset(Position position) const {
  if (position.line >= starts_.size()) return text_.size();
  Mark at{starts_[position.line], 0};
  const std::size_t end = at.offset + line(position.line).size();
  auto next = std::upper_bound(marks_.begin(), marks_.end(), at.offset,
                               [](std::size_t a, const Mark& b) { return a < b.offset; });
  for (; next != marks_.end() && next->offset <= end && next->units <= position.character; ++next) {
    at = *next;
  }
  while (at.offset < end) {
    const Character one = front(text_.substr(at.offset));
    if (at.units + one.units > position.character) break;
    at = {at.offset + one.bytes, at.units + one.units};
  }
  return at.offset;
}

}  // namespace budwood::editor
