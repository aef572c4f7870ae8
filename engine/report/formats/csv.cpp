#include "report/formats/csv.hpp"

#include <ostream>

#include "report/formats/number.hpp"
#include "text/text.hpp"

namespace budwood::report {

namespace {

constexpr std::string_view kept_controls = "\t\r\n";

/// Printable text, its tabs and line breaks kept.
std::string harmless(std::string_view field) {
  std::string out;
  if (!field.empty() && std::string_view("=+-@\t\r").find(field[0]) != std::string_view::npos) {
    out = "'";
  }
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
  const std::string safe = harmless(field);
  if (safe.find_first_of(",\"\r\n") == std::string::npos) {
    row_ += safe;
    return *this;
  }
  row_ += '"';
  for (const char c : safe) {
    if (c == '"') row_ += '"';
    row_ += c;
  }
  row_ += '"';
  return *this;
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
