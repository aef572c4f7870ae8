/// Comma-separated values, record by record, each field with its place.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "text/diagnostic.hpp"
#include "text/source.hpp"

namespace budwood::text {

struct CsvField {
  std::string value;  ///< without quotes, and without spaces around it
  Span span;          ///< as written, quotes included; of an empty field where it would stand
};

/// The records of a text after RFC 4180: fields parted by commas; a field in double quotes may hold
/// commas, line breaks and doubled quotes. Lines without anything but spaces are no records.
class CsvReader {
 public:
  explicit CsvReader(const Source& source) : source_(source), text_(source.text()) {}

  /// More fields than this in one record are refused.
  static constexpr std::size_t most_fields = 1000;

  /// The next record; nothing after the last. A quote that is never closed, or that has text after
  /// it, and too many fields are reported, and then there are no more records.
  std::optional<std::vector<CsvField>> next(Diagnostics& diagnostics);

 private:
  bool skip_empty_lines();
  std::optional<CsvField> field(Diagnostics& diagnostics);
  CsvField plain_field();
  std::optional<CsvField> quoted_field(Diagnostics& diagnostics);
  void skip_spaces();
  bool at_end_of_line() const;
  Span span(std::size_t begin, std::size_t end) const;

  const Source& source_;
  std::string_view text_;
  std::size_t at_ = 0;
};

}  // namespace budwood::text
