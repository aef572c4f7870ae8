#pragma once

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "drawing/drawing.hpp"

/// What all pictures of a plan have: words on top, and a line for today. Private to this module.
namespace budwood::pictures {

inline constexpr double margin = 16;

/// A title and lines below it, as wide as the picture.
class Head {
 public:
  Head(const std::string& title, const std::vector<std::string>& lines, double width);

  double height() const;
  void draw(drawing::Svg& svg) const;

 private:
  std::vector<std::string> title_;
  std::vector<std::string> lines_;
};

/// A day that is shown by a line, with a name for it in a row above the axis.
struct DayLine {
  std::string name;
  calendar::Day day = 0;
  bool strong = false;
};

/// Lines through a picture; what lies outside its days is left out.
class DayLines {
 public:
  static constexpr double row_height = 14;  ///< of the names

  DayLines(const drawing::DateAxis& axis, std::vector<DayLine> lines);

  bool empty() const { return lines_.empty(); }
  /// Names that find no room are left out, the first come first.
  void draw(drawing::Svg& svg, double top, double bottom) const;

 private:
  void draw_name(drawing::Svg& svg, drawing::Places& places, const DayLine& line,
                 double base) const;

  const drawing::DateAxis& axis_;
  std::vector<DayLine> lines_;
};

/// "Today, Mon 2027-01-04, comes before these days."; "" when it is one of them or not told.
std::string outside_words(std::optional<calendar::Day> today, const drawing::DayRange& days);
/// The line for today, when it is told.
void add_today(std::vector<DayLine>& lines, std::optional<calendar::Day> today);

/// As much of a text as fits into one line.
std::string cut(const std::string& text, double width, const drawing::TextStyle& style);

/// A picture that says why it is empty.
void write_empty(std::ostream& out, const std::string& title, const std::string& reason);

}  // namespace budwood::pictures
