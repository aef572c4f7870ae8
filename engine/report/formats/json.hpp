#pragma once

#include <iosfwd>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "text/text.hpp"

namespace budwood::report {

/// Writes JSON (RFC 8259) piece by piece, so that a plan of any size is never held as a tree. Keys
/// stay in the order in which they are written.
///
/// Control characters are escaped, also those that JSON would let pass; bytes that are no UTF-8
/// become U+FFFD. Numbers are rounded to 12 significant digits.
class JsonWriter {
 public:
  /// How the members of an object or list stand: behind each other, or on a line each.
  enum class Layout { line, lines };

  explicit JsonWriter(std::ostream& out) : out_(out) {}
  ~JsonWriter() { flush(); }
  JsonWriter(const JsonWriter&) = delete;
  JsonWriter& operator=(const JsonWriter&) = delete;

  /// Without a key: the whole, or an entry of a list.
  void begin_object(Layout layout = Layout::line);
  void begin_object(std::string_view key, Layout layout = Layout::line);
  void begin_list(Layout layout = Layout::line);
  void begin_list(std::string_view key, Layout layout = Layout::line);
  /// Ends the object or list that was begun last.
  void end();

  void text(std::string_view key, std::string_view value);
  void texts(std::string_view key, const std::vector<std::string>& values);
  /// null when it is not finite, or not there.
  void number(std::string_view key, double value);
  void number(std::string_view key, const std::optional<double>& value);
  void flag(std::string_view key, bool value);
  void null(std::string_view key);
  /// "2027-02-15"; null for a value that is no day.
  void date(std::string_view key, double day);
  /// "crates.bud:12"; null without a file.
  void place(std::string_view key, const text::Span& span);

 private:
  struct Level {
    char close;
    Layout layout;
    bool empty = true;
  };

  void next();
  void next(std::string_view key);
  void begin(char open, char close, Layout layout);
  void new_line();
  void quote(std::string_view value);
  void flush();

  std::ostream& out_;
  std::string held_;
  std::vector<Level> levels_;
};

}  // namespace budwood::report
