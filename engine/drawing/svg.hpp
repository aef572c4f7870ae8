#pragma once

#include <iosfwd>
#include <string>
#include <string_view>
#include <vector>

/// Pictures in black and white as SVG 1.1. Lengths are pixels; x runs to the right, y downwards.
namespace budwood::drawing {

struct Point {
  double x = 0, y = 0;
  friend bool operator==(const Point&, const Point&) = default;
};

struct Rect {
  double x = 0, y = 0;  ///< of the corner on top at the left
  double width = 0, height = 0;

  double right() const { return x + width; }
  double bottom() const { return y + height; }
};

struct TextStyle {
  enum class Anchor { start, middle, end };
  double size = 11;  ///< pixels an em
  bool bold = false;
  Anchor anchor = Anchor::start;
  bool turned = false;  ///< runs upwards
};

/// The width of printable text, in pixels. Whoever draws it may have another font, so the widths
/// are those of a wide one.
double text_width(std::string_view text, const TextStyle& style);

/// Printable text in lines of at most `width` pixels, broken at spaces and, where a single word is
/// wider, within it. Past `most` lines the last one ends in an ellipsis.
std::vector<std::string> wrap_text(std::string_view text, double width, std::size_t most,
                                   const TextStyle& style);

/// Text as it may stand between tags and in attributes; what XML 1.0 has no place for becomes '?'.
std::string xml_text(std::string_view text);

/// How lines are drawn and areas are filled.
struct Pen {
  enum class Dash { none, dashes, dots, long_dashes, dash_dots, short_dashes };
  /// `grille` lets what lies below show through. The rest after it tell areas apart where four are
  /// too few.
  enum class Fill {
    none,
    white,
    hatch,
    dots,
    grille,
    grey,
    back_hatch,
    uprights,
    levels,
    checks,
    squares,
    wide_hatch,
    dense_dots,
    black
  };
  double width = 1;
  Dash dash = Dash::none;
  Fill fill = Fill::none;
  bool arrow = false;  ///< a head at the end of the line
};

/// Writes one picture, piece by piece; what is drawn later lies above.
class Svg {
 public:
  /// `title` and `description` are for people who cannot see the picture.
  Svg(std::ostream& out, double width, double height, std::string_view title,
      std::string_view description);
  ~Svg();
  Svg(const Svg&) = delete;
  Svg& operator=(const Svg&) = delete;

  void rect(const Rect& rect, const Pen& pen);
  /// White without an outline: hides what lies below.
  void ground(const Rect& rect);
  /// Straight lines from point to point; two points at least.
  void lines(const std::vector<Point>& points, const Pen& pen);
  /// Lines that come back to the first point.
  void outline(const std::vector<Point>& points, const Pen& pen);
  /// One line of text; `at` is on its baseline.
  void text(const Point& at, std::string_view text, const TextStyle& style);

  /// What is drawn up to `end_group` belongs together; viewers show `title` where they can.
  void begin_group(std::string_view title);
  void end_group();

 private:
  void points_of(std::string_view tag, const std::vector<Point>& points, const Pen& pen);
  void define(Pen::Fill fill);

  std::ostream& out_;
  std::vector<Pen::Fill> defined_;  ///< that stand in the picture already
};

}  // namespace budwood::drawing
