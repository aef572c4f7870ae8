#include "drawing/wrap.hpp"

#include <algorithm>

#include "text/text.hpp"

namespace budwood::drawing {

namespace {

/// Where to break a word that is wider than `width`: after a joint of its parts, or else anywhere.
std::size_t break_in_word(std::string_view word, std::size_t width) {
  const std::size_t most = text::fitting_bytes(word, width);
  const std::size_t joint = word.substr(0, most).find_last_of("_-/.,");
  return joint == std::string_view::npos || joint == 0 ? most : joint + 1;
}

/// Adds a paragraph of printable text to `lines`, in lines of at most `width` columns.
void wrap_paragraph(std::string_view rest, std::size_t width, std::vector<std::string>& lines) {
  std::string line;
  std::size_t taken = 0;
  const auto finish = [&] {
    lines.push_back(std::move(line));
    line.clear();
    taken = 0;
  };
  while (!rest.empty()) {
    const std::size_t begin = rest.find_first_not_of(' ');
    if (begin == std::string_view::npos) break;
    rest.remove_prefix(begin);
    std::string_view word = rest.substr(0, rest.find(' '));
    rest.remove_prefix(word.size());
    std::size_t needed = text::display_width(word);
    if (taken > 0 && taken + 1 + needed > width) finish();
    while (needed > width) {
      const std::size_t bytes = break_in_word(word, width);
      if (bytes == word.size()) break;
      line = word.substr(0, bytes);
      finish();
      needed -= text::display_width(word.substr(0, bytes));
      word.remove_prefix(bytes);
    }
    if (taken > 0) {
      line += ' ';
      ++taken;
    }
    line += word;
    taken += needed;
  }
  finish();
}

}  // namespace

std::vector<std::string> wrap(std::string_view text, std::size_t width) {
  std::vector<std::string> lines;
  while (true) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view paragraph = text.substr(0, end);
    if (paragraph.ends_with('\r')) paragraph.remove_suffix(1);
    wrap_paragraph(text::printable(paragraph), std::max<std::size_t>(1, width), lines);
    if (end == text.size()) return lines;
    text.remove_prefix(end + 1);
  }
}

}  // namespace budwood::drawing
