#include "report/formats/table.hpp"

#include <algorithm>
#include <numeric>
#include <ostream>

namespace budwood::report {

namespace {

/// The least width of a column whose words have to be broken; a date still fits.
constexpr std::size_t broken_word = 10;

std::size_t widest_word(std::string_view text) {
  std::size_t widest = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of(" \n"), text.size());
    widest = std::max(widest, text::display_width(text.substr(0, end)));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return widest;
}

std::size_t sum(const std::vector<std::size_t>& numbers) {
  return std::accumulate(numbers.begin(), numbers.end(), std::size_t{0});
}

/// Narrows the widest column again and again until all fit or none can give.
void narrow(std::vector<std::size_t>& widths, const std::vector<std::size_t>& least,
            std::size_t available) {
  while (sum(widths) > available) {
    std::size_t widest = widths.size();
    for (std::size_t i = 0; i < widths.size(); ++i) {
      if (widths[i] > least[i] && (widest == widths.size() || widths[i] > widths[widest])) {
        widest = i;
      }
    }
    if (widest == widths.size()) return;
    // A column wider than the page gives the excess at once.
    widths[widest] = std::max(least[widest], std::min(widths[widest] - 1, available));
  }
}

}  // namespace

std::string inked(std::string_view text, Ink ink, const Style& style) {
  if (style.colour == text::Colour::never || ink == Ink::plain) return std::string(text);
  const char* begin = ink == Ink::strong ? "\x1b[1m" : ink == Ink::faint ? "\x1b[2m" : "\x1b[33m";
  return std::string(begin).append(text).append("\x1b[0m");
}

std::string spaces(std::size_t count) {
  return std::string(count, ' ');
}

std::string pad_right(std::string_view text, std::size_t width) {
  const std::size_t taken = text::display_width(text);
  return std::string(text) + spaces(width - std::min(taken, width));
}

std::string pad_left(std::string_view text, std::size_t width) {
  const std::size_t taken = text::display_width(text);
  return spaces(width - std::min(taken, width)).append(text);
}

void Table::add(std::vector<std::string> cells) {
  cells.resize(columns_.size());
  rows_.push_back(std::move(cells));
}

std::vector<std::size_t> Table::widths(std::size_t available) const {
  std::vector<std::size_t> natural;
  std::vector<std::size_t> text_wraps;
  std::vector<std::size_t> words_break;
  std::vector<std::size_t> entries_wrap;
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    std::size_t widest = 0;
    std::size_t word = 0;
    const auto meet = [&](const std::string& cell) {
      for (const std::string& line : wrap(cell, std::string::npos)) {
        widest = std::max(widest, text::display_width(line));
        word = std::max(word, widest_word(line));
      }
    };
    meet(columns_[i].head);
    for (const auto& row : rows_) meet(row[i]);
    const Kind kind = columns_[i].kind;
    natural.push_back(widest);
    text_wraps.push_back(kind == Kind::text ? word : widest);
    words_break.push_back(kind == Kind::text ? std::min(word, broken_word) : widest);
    entries_wrap.push_back(kind == Kind::number ? widest : std::min(word, broken_word));
  }
  for (const auto& least : {text_wraps, words_break, entries_wrap}) {
    narrow(natural, least, available);
  }
  return natural;
}

void Table::write_row(std::ostream& out, const std::vector<std::string>& cells,
                      const std::vector<std::size_t>& widths, std::size_t left, Ink ink,
                      const Style& style) const {
  std::vector<std::vector<std::string>> lines;
  std::size_t height = 0;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    lines.push_back(wrap(cells[i], widths[i]));
    height = std::max(height, lines.back().size());
  }
  for (std::size_t n = 0; n < height; ++n) {
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (i > 0) line += spaces(gap);
      const std::string_view piece = n < lines[i].size() ? lines[i][n] : std::string_view();
      line += columns_[i].kind == Kind::number ? pad_left(piece, widths[i])
                                               : pad_right(piece, widths[i]);
    }
    line.resize(line.find_last_not_of(' ') + 1);
    out << spaces(left) << inked(line, ink, style) << '\n';
  }
}

void Table::write(std::ostream& out, const Style& style, std::size_t left) const {
  const std::size_t taken = left + gap * (columns_.size() - 1);
  const std::vector<std::size_t> fitted = widths(style.width > taken ? style.width - taken : 0);
  std::vector<std::string> heads;
  for (const Column& column : columns_) heads.push_back(column.head);
  write_row(out, heads, fitted, left, Ink::faint, style);
  for (const auto& row : rows_) write_row(out, row, fitted, left, Ink::plain, style);
}

}  // namespace budwood::report
