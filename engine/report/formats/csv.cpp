#include "report/formats/csv.hpp"

#include <algorithm>
#include <array>
#include <ostream>

#include "report/formats/number.hpp"
#include "text/text.hpp"

namespace budwood::report {

namespace {

constexpr std::string_view kept_controls = "\t\r\n";

/// What spreadsheets leave off before they look for a formula: the spaces of Unicode, as UTF-8.
constexpr auto blank_characters = std::to_array<std::string_view>(
    {" ", "\n", "\xC2\xA0", "\xE1\x9A\x80", "\xE2\x80\x80", "\xE2\x80\x81", "\xE2\x80\x82",
     "\xE2\x80\x83", "\xE2\x80\x84", "\xE2\x80\x85", "\xE2\x80\x86", "\xE2\x80\x87", "\xE2\x80\x88",
     "\xE2\x80\x89", "\xE2\x80\x8A", "\xE2\x80\xAF", "\xE2\x81\x9F", "\xE3\x80\x80"});
/// What begins a formula, and the same in full width, which some take for it.
constexpr auto formula_signs = std::to_array<std::string_view>(
    {"=", "+", "-", "@", "\t", "\r", "\uFF1D", "\uFF0B", "\uFF0D", "\uFF20"});

template <std::size_t n>
std::size_t length_of_any(const std::array<std::string_view, n>& words, std::string_view text) {
  const auto found = std::find_if(words.begin(), words.end(),
                                  [&](std::string_view word) { return text.starts_with(word); });
  return found == words.end() ? 0 : found->size();
}

/// Letters and digits, with which most fields begin, are neither blank nor a sign.
bool begins_with_a_letter_or_digit(std::string_view field) {
  const char c = field.empty() ? ' ' : field.front();
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

bool looks_like_a_formula(std::string_view field) {
  if (begins_with_a_letter_or_digit(field)) return false;
  while (const std::size_t space = length_of_any(blank_characters, field))
    field.remove_prefix(space);
  return length_of_any(formula_signs, field) > 0;
}

/// Printable text, its tabs and line breaks kept.
std::string harmless(std::string_view field) {
  std::string out;
  if (looks_like_a_formula(field)) out = "'";
  while (!field.empty()) {
    const std::size_t end = std::min(field.find_first_of(kept_controls), field.size());
    out += text::printable(field.substr(0, end));
    if (end < field.size()) out += field[end];
    field.remove_prefix(std::min(end + 1, field.size()));
  }
  return out;
}

}  // namespace

void Csv::separate() {
  if (!first_) row_ += ',';
  first_ = false;
}

Csv& Csv::text(std::string_view field) {
  separate();
  if (field.empty()) return *this;
  const bool as_it_is = text::plain_bytes(field) == field.size() && !looks_like_a_formula(field);
  if (as_it_is) {
    quoted_where_due(field);
  } else {
    quoted_where_due(harmless(field));
  }
  return *this;
}

void Csv::quoted_where_due(std::string_view safe) {
  const bool due = std::any_of(safe.begin(), safe.end(), [](char c) {
    return c == ',' || c == '"' || c == '\r' || c == '\n';
  });
  if (!due) {
    row_ += safe;
    return;
  }
  row_ += '"';
  for (std::size_t quote = safe.find('"'); quote != std::string_view::npos;
       quote = safe.find('"')) {
    row_.append(safe.substr(0, quote)).append("\"\"");
    safe.remove_prefix(quote + 1);
  }
  row_.append(safe).append("\"");
}

Csv& Csv::number(double value) {
  separate();
  row_ += number_text(value);
  return *this;
}

void Csv::end_row() {
  row_ += "\r\n";
  out_ << row_;
  row_.clear();
  first_ = true;
}

}  // namespace budwood::report
