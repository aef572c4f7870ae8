#pragma once

#include <iosfwd>
#include <string>
#include <string_view>
#include <vector>

namespace budwood::report {

/// A table of comma-separated values after RFC 4180: lines end in CR LF, a field that holds a
/// comma, a quote or a line break stands in quotes, quotes in it are doubled.
///
/// A text that a spreadsheet would take for a formula (it starts with = + - @, a tab or a carriage
/// return) gets an apostrophe in front, which makes it plain text. Control characters other than
/// tabs and line breaks become '?'.
class Csv {
 public:
  explicit Csv(std::ostream& out) : out_(out) {}

  Csv& text(std::string_view field);
  /// Digits with a decimal point, rounded to 12 significant ones; nothing when it is no number.
  Csv& number(double value);
  void end_row();

 private:
  void separate();
  void quoted_where_due(std::string_view safe);

  std::ostream& out_;
  std::string row_;
  bool first_ = true;
};

}  // namespace budwood::report
