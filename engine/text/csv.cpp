#include "text/csv.hpp"

namespace budwood::text {

namespace {

bool is_space(char c) {
  return c == ' ' || c == '\t' || c == '\r';
}

}  // namespace

std::optional<std::vector<CsvField>> CsvReader::next(Diagnostics& diagnostics) {
  if (!skip_empty_lines()) return std::nullopt;
  std::vector<CsvField> fields;
  while (true) {
    std::optional<CsvField> read = field(diagnostics);
    if (!read) {
      at_ = text_.size();
      return std::nullopt;
    }
    fields.push_back(std::move(*read));
    if (fields.size() > most_fields) {
      diagnostics.error("csv-syntax", fields.back().span,
                        "This line has more than " + std::to_string(most_fields) + " fields.",
                        "Check that this is the right file.");
      at_ = text_.size();
      return std::nullopt;
    }
    const bool more = at_ < text_.size() && text_[at_] == ',';
    ++at_;  // the comma or the line break
    if (!more) return fields;
  }
}

/// Goes to the start of a line that holds something; false when there is none.
bool CsvReader::skip_empty_lines() {
  std::size_t line = at_;
  for (std::size_t i = at_; i < text_.size(); ++i) {
    if (text_[i] == '\n') {
      line = i + 1;
    } else if (!is_space(text_[i])) {
      at_ = line;
      return true;
    }
  }
  at_ = text_.size();
  return false;
}

std::optional<CsvField> CsvReader::field(Diagnostics& diagnostics) {
  skip_spaces();
  if (at_ < text_.size() && text_[at_] == '"') return quoted_field(diagnostics);
  return plain_field();
}

CsvField CsvReader::plain_field() {
  const std::size_t begin = at_;
  while (!at_end_of_line() && text_[at_] != ',') ++at_;
  std::size_t end = at_;
  while (end > begin && is_space(text_[end - 1])) --end;
  return {std::string(text_.substr(begin, end - begin)), span(begin, end)};
}

std::optional<CsvField> CsvReader::quoted_field(Diagnostics& diagnostics) {
  const std::size_t begin = at_++;
  CsvField result;
  while (at_ < text_.size()) {
    if (text_[at_] != '"') {
      result.value += text_[at_++];
    } else if (text_.substr(at_).starts_with("\"\"")) {
      result.value += '"';
      at_ += 2;
    } else {
      break;
    }
  }
  if (at_ >= text_.size()) {
    diagnostics.error("csv-syntax", span(begin, begin + 1), "This quoted field is never closed.",
                      "Put a quote at its end.");
    return std::nullopt;
  }
  ++at_;
  result.span = span(begin, at_);
  skip_spaces();
  if (!at_end_of_line() && text_[at_] != ',') {
    diagnostics.error("csv-syntax", span(at_, at_ + character_length(text_.substr(at_))),
                      "A comma or the end of the line belongs after a quoted field.",
                      "Write a quote inside a field twice.");
    return std::nullopt;
  }
  return result;
}

void CsvReader::skip_spaces() {
  while (at_ < text_.size() && is_space(text_[at_])) ++at_;
}

bool CsvReader::at_end_of_line() const {
  return at_ >= text_.size() || text_[at_] == '\n';
}

Span CsvReader::span(std::size_t begin, std::size_t end) const {
  return {&source_, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)};
}

}  // namespace budwood::text
