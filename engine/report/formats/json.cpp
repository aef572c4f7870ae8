#include "report/formats/json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <ostream>

#include "calendar/calendar.hpp"
#include "report/formats/number.hpp"
#include "report/formats/wording.hpp"

namespace budwood::report {

namespace {

constexpr std::size_t most_held = 1U << 16U;
constexpr std::string_view replacement = "\xEF\xBF\xBD";  // U+FFFD

/// Whether a character stands for itself between quotes, as nearly all do.
bool is_plain(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte >= 0x20 && byte < 0x7F && c != '"' && c != '\\';
}

}  // namespace

void JsonWriter::begin_object(Layout layout) {
  next();
  begin('{', '}', layout);
}

void JsonWriter::begin_object(std::string_view key, Layout layout) {
  next(key);
  begin('{', '}', layout);
}

void JsonWriter::begin_list(Layout layout) {
  next();
  begin('[', ']', layout);
}

void JsonWriter::begin_list(std::string_view key, Layout layout) {
  next(key);
  begin('[', ']', layout);
}

void JsonWriter::begin(char open, char close, Layout layout) {
  held_ += open;
  levels_.push_back({close, layout});
}

void JsonWriter::end() {
  const Level level = levels_.back();
  levels_.pop_back();
  if (level.layout == Layout::lines && !level.empty) new_line();
  held_ += level.close;
  if (levels_.empty()) held_ += '\n';
  if (held_.size() > most_held) flush();
}

void JsonWriter::next() {
  if (levels_.empty()) return;
  Level& level = levels_.back();
  const bool lines = level.layout == Layout::lines;
  if (!level.empty) held_ += lines ? "," : ", ";
  level.empty = false;
  if (lines) new_line();
}

void JsonWriter::next(std::string_view key) {
  next();
  held_ += '"';
  held_ += key;
  held_ += "\": ";
}

void JsonWriter::new_line() {
  held_ += '\n';
  held_.append(2 * levels_.size(), ' ');
}

void JsonWriter::text(std::string_view key, std::string_view value) {
  next(key);
  quote(value);
}

void JsonWriter::texts(std::string_view key, const std::vector<std::string>& values) {
  begin_list(key);
  for (const std::string& value : values) {
    next();
    quote(value);
  }
  end();
}

void JsonWriter::number(std::string_view key, double value) {
  next(key);
  held_ += std::isfinite(value) ? number_text(value) : "null";
}

void JsonWriter::number(std::string_view key, const std::optional<double>& value) {
  number(key, value.value_or(std::nan("")));
}

void JsonWriter::flag(std::string_view key, bool value) {
  next(key);
  held_ += value ? "true" : "false";
}

void JsonWriter::null(std::string_view key) {
  next(key);
  held_ += "null";
}

void JsonWriter::date(std::string_view key, double day) {
  if (std::isnan(day)) return null(key);
  text(key, calendar::iso_date(static_cast<calendar::Day>(day)));
}

void JsonWriter::place(std::string_view key, const text::Span& span) {
  if (span.source == nullptr) return null(key);
  text(key, file_and_line(span));
}

void JsonWriter::quote(std::string_view value) {
  held_ += '"';
  while (!value.empty()) {
    const std::size_t plain = static_cast<std::size_t>(
        std::find_if_not(value.begin(), value.end(), is_plain) - value.begin());
    held_ += value.substr(0, plain);
    value.remove_prefix(plain);
    if (value.empty()) break;
    const std::size_t bytes = text::character_length(value);
    const std::string_view character = value.substr(0, std::max<std::size_t>(1, bytes));
    const auto first = static_cast<unsigned char>(character[0]);
    if (first == '"' || first == '\\') {
      held_ += '\\';
      held_ += character;
    } else if (first < 0x20 || first == 0x7F) {
      fmt::format_to(std::back_inserter(held_), "\\u{:04x}", first);
    } else if (bytes == 0) {
      held_ += replacement;
    } else if (first == 0xC2 && static_cast<unsigned char>(character[1]) < 0xA0) {  // C1 controls
      fmt::format_to(std::back_inserter(held_), "\\u{:04x}",
                     static_cast<unsigned char>(character[1]));
    } else {
      held_ += character;
    }
    value.remove_prefix(character.size());
  }
  held_ += '"';
}

void JsonWriter::flush() {
  out_ << held_;
  held_.clear();
}

}  // namespace budwood::report
