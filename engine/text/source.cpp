#include "text/source.hpp"

#include <utf8proc.h>

#include <algorithm>

#include "text/diagnostic.hpp"

namespace budwood::text {

namespace {

constexpr std::size_t bytes_between_marks = 256;

bool is_continuation(char c) {
  return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
}

}  // namespace

std::size_t character_length(std::string_view rest) {
  utf8proc_int32_t code = 0;
  const auto* bytes = reinterpret_cast<const utf8proc_uint8_t*>(rest.data());
  const utf8proc_ssize_t length =
      utf8proc_iterate(bytes, static_cast<utf8proc_ssize_t>(rest.size()), &code);
  return length > 0 && code != 0 ? static_cast<std::size_t>(length) : 0;
}

Source::Source(std::string name, std::string text)
    : name_(std::move(name)), text_(std::move(text)) {
  line_starts_.push_back(0);
  std::size_t characters = 0;
  for (std::size_t i = 0; i < text_.size(); ++i) {
    if (i % bytes_between_marks == 0) characters_before_mark_.push_back(characters);
    if (text_[i] == '\n') line_starts_.push_back(i + 1);
    if (!is_continuation(text_[i])) ++characters;
  }
  if (text_.size() % bytes_between_marks == 0) characters_before_mark_.push_back(characters);
}

Source::Source(std::string name, std::size_t lines, LineMaker maker)
    : name_(std::move(name)), maker_(std::move(maker)), made_lines_(lines) {}

std::size_t Source::line_of(std::size_t offset) const {
  if (maker_) return offset / 2 + 1;
  offset = std::min(offset, text_.size());
  const auto after = std::upper_bound(line_starts_.begin(), line_starts_.end(), offset);
  return static_cast<std::size_t>(after - line_starts_.begin());
}

Place Source::place(std::size_t offset) const {
  const std::size_t number = line_of(offset);
  if (maker_) return {number, offset % 2 == 0 ? 1 : 1 + count_characters(line(number))};
  offset = std::min(offset, text_.size());
  const std::size_t start = line_starts_[number - 1];
  return {number, 1 + characters_before(offset) - characters_before(start)};
}

std::size_t Source::characters_before(std::size_t offset) const {
  const std::size_t mark = offset / bytes_between_marks;
  const std::string_view rest =
      std::string_view(text_).substr(mark * bytes_between_marks, offset % bytes_between_marks);
  return characters_before_mark_[mark] + count_characters(rest);
}

std::string_view Source::line(std::size_t number) const {
  if (maker_) {
    if (number == 0 || number > made_lines_) return {};
    const auto [found, fresh] = made_.try_emplace(number);
    if (fresh) found->second = maker_(number - 1);
    return found->second;
  }
  if (number == 0 || number > line_starts_.size()) return {};
  const std::size_t begin = line_starts_[number - 1];
  const std::size_t end = number < line_starts_.size() ? line_starts_[number] - 1 : text_.size();
  std::string_view line = std::string_view(text_).substr(begin, end - begin);
  if (line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

std::size_t Source::offset(Place place) const {
  if (place.line == 0) return 0;
  if (maker_) return (place.line - 1) * 2 + (place.column > 1 ? 1 : 0);
  if (place.line > line_starts_.size()) return text_.size();
  const std::string_view text = line(place.line);
  std::size_t bytes = 0;
  for (std::size_t column = 1; column < place.column && bytes < text.size(); ++column) {
    ++bytes;
    while (bytes < text.size() && is_continuation(text[bytes])) ++bytes;
  }
  return line_starts_[place.line - 1] + bytes;
}

Span Source::made_line(std::size_t number) const {
  const auto begin = static_cast<std::uint32_t>(number * 2);
  return {this, begin, begin + 1};
}

std::string_view Source::text_of(const Span& span) const {
  if (maker_) return line(span.begin / 2 + 1);
  return span.begin > text_.size() ? std::string_view()
                                   : text().substr(span.begin, span.end - span.begin);
}

std::string_view text_of(const Span& span) {
  return span.source == nullptr ? std::string_view() : span.source->text_of(span);
}

std::string describe(const Span& span) {
  if (span.source == nullptr) return {};
  const Place place = span.source->place(span.begin);
  return span.source->name() + ":" + std::to_string(place.line) + ":" +
         std::to_string(place.column);
}

const Source& Sources::add(std::string name, std::string text) {
  return sources_.emplace_back(std::move(name), std::move(text));
}

const Source& Sources::add(std::string name, std::size_t lines, LineMaker maker) {
  return sources_.emplace_back(std::move(name), lines, std::move(maker));
}

bool is_text(const Source& source, Diagnostics& diagnostics) {
  const std::size_t bad = find_invalid_utf8(source.text());
  if (bad == std::string_view::npos) return true;
  const Place place = source.place(bad);
  // The line is not shown: it could hold anything.
  diagnostics.error("not-text", {},
                    "`" + source.name() + "` is not UTF-8 text: line " +
                        std::to_string(place.line) + ", column " + std::to_string(place.column) +
                        " is not a character.",
                    "Save the file as plain UTF-8 text.");
  return false;
}

std::size_t find_invalid_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte > 0 && byte < 0x80) {  // nearly all of it
      ++i;
      continue;
    }
    const std::size_t length = character_length(text.substr(i));
    if (length == 0) return i;
    i += length;
  }
  return std::string_view::npos;
}

std::size_t count_characters(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return !is_continuation(c); }));
}

}  // namespace budwood::text
