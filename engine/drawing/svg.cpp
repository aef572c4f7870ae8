#include "drawing/svg.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <ostream>

#include "drawing/patterns.hpp"
#include "drawing/wrap.hpp"
#include "text/text.hpp"

namespace budwood::drawing {

namespace {

/// Thousandths of an em, from the space to the tilde; DejaVu Sans, which is wider than most.
constexpr std::array<short, 95> advances = {
    317, 400, 459, 837, 636, 950, 779, 274, 390, 390, 500, 837, 317, 360, 317, 336, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 336, 336, 837, 837, 837, 530, 999, 684, 686, 698, 770, 631,
    575, 774, 751, 294, 294, 655, 557, 862, 748, 787, 603, 787, 694, 634, 610, 731, 684, 988, 685,
    610, 685, 390, 336, 390, 837, 500, 500, 612, 634, 549, 634, 615, 352, 634, 633, 277, 277, 579,
    277, 974, 633, 611, 634, 634, 411, 520, 392, 633, 591, 817, 591, 591, 524, 636, 336, 636, 837};
constexpr double other_letter = 0.8;    ///< em; one that takes one column on a terminal
constexpr double column_of_wide = 0.5;  ///< em; half of one that takes two
constexpr double bold_factor = 1.15;
constexpr std::string_view ellipsis = "\u2026";

/// Without the noise of binary fractions: "12", "12.5".
std::string number(double value) {
  const double tenths = std::round(value * 10) / 10;
  return fmt::format("{}", tenths == 0 ? 0.0 : tenths);
}

std::string pen_words(const Pen& pen) {
  constexpr std::array<const char*, 6> dashes = {"",
                                                 " stroke-dasharray=\"6 4\"",
                                                 " stroke-dasharray=\"1 4\"",
                                                 " stroke-dasharray=\"14 4\"",
                                                 " stroke-dasharray=\"9 3 2 3\"",
                                                 " stroke-dasharray=\"3 2\""};
  std::string out =
      fmt::format(R"( fill="{}" stroke="#000" stroke-width="{}"{})", fill_words(pen.fill),
                  number(pen.width), dashes[static_cast<std::size_t>(pen.dash)]);
  if (pen.arrow) out += " marker-end=\"url(#arrow)\"";
  return out;
}

/// The longest front part that leaves room for an ellipsis.
std::string with_ellipsis(std::string line, double width, const TextStyle& style) {
  const double room = width - text_width(ellipsis, style);
  while (!line.empty() && text_width(line, style) > room) {
    const std::size_t columns = text::display_width(line);
    line.resize(columns < 2 ? 0 : text::fitting_bytes(line, columns - 1));
  }
  while (line.ends_with(' ')) line.pop_back();
  return line + std::string(ellipsis);
}

}  // namespace

double text_width(std::string_view text, const TextStyle& style) {
  double em = 0;
  while (!text.empty()) {
    const auto lead = static_cast<unsigned char>(text.front());
    const std::size_t bytes = std::max<std::size_t>(1, text::character_length(text));
    if (lead >= ' ' && lead <= '~') {
      em += advances[lead - static_cast<unsigned char>(' ')] / 1000.0;
    } else {
      const std::size_t columns = text::display_width(text.substr(0, bytes));
      em += columns > 1 ? column_of_wide * static_cast<double>(columns)
                        : other_letter * static_cast<double>(columns);
    }
    text.remove_prefix(bytes);
  }
  return em * style.size * (style.bold ? bold_factor : 1);
}

std::vector<std::string> wrap_text(std::string_view text, double width, std::size_t most,
                                   const TextStyle& style) {
  const auto fits = [&](const std::vector<std::string>& lines) {
    return std::all_of(lines.begin(), lines.end(),
                       [&](const std::string& line) { return text_width(line, style) <= width; });
  };
  // `wrap` counts columns; letters differ in width, so fewer of them until all lines fit.
  constexpr double narrow_letter = 0.27;
  auto columns = static_cast<std::size_t>(std::max(1.0, width / (narrow_letter * style.size)));
  columns = std::min(columns, std::max<std::size_t>(1, text::display_width(text)));
  std::vector<std::string> lines = wrap(text, columns);
  while (columns > 1 && !fits(lines)) lines = wrap(text, --columns);
  if (lines.size() > most) {
    lines.resize(std::max<std::size_t>(1, most));
    lines.back() = with_ellipsis(lines.back(), width, style);
  }
  return lines;
}

std::string xml_text(std::string_view text) {
  const std::string clean = text::printable(text);
  std::string out;
  for (std::size_t i = 0; i < clean.size();) {
    const std::size_t bytes =
        std::max<std::size_t>(1, text::character_length(std::string_view(clean).substr(i)));
    const std::string letter = clean.substr(i, bytes);
    i += bytes;
    if (letter == "&") {
      out += "&amp;";
    } else if (letter == "<") {
      out += "&lt;";
    } else if (letter == ">") {
      out += "&gt;";
    } else if (letter == "\"") {
      out += "&quot;";
    } else if (letter == "\xEF\xBF\xBE" || letter == "\xEF\xBF\xBF") {
      out += '?';  // U+FFFE and U+FFFF
    } else {
      out += letter;
    }
  }
  return out;
}

Svg::Svg(std::ostream& out, double width, double height, std::string_view title,
         std::string_view description)
    : out_(out) {
  out_ << R"(<?xml version="1.0" encoding="UTF-8"?>)" << '\n'
       << fmt::format(
              R"(<svg xmlns="http://www.w3.org/2000/svg" width="{0}" height="{1}" )"
              R"(viewBox="0 0 {0} {1}" font-family="DejaVu Sans, Verdana, Arial, sans-serif">)",
              number(std::ceil(width)), number(std::ceil(height)))
       << '\n'
       << "<title>" << xml_text(title) << "</title>\n<desc>" << xml_text(description) << "</desc>\n"
       << R"(<defs>
<pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse">
<rect width="5" height="5" fill="#fff"/>
<path d="M-1 1L1 -1M0 5L5 0M4 6L6 4" stroke="#000" stroke-width="0.8"/>
</pattern>
<pattern id="dots" width="4" height="4" patternUnits="userSpaceOnUse">
<rect width="4" height="4" fill="#fff"/>
<circle cx="2" cy="2" r="0.7" fill="#000"/>
</pattern>
<pattern id="grille" width="4" height="4" patternUnits="userSpaceOnUse">
<path d="M-1 1L1 -1M0 4L4 0M3 5L5 3M-1 3L1 5M0 0L4 4M3 -1L5 1" stroke="#000" stroke-width="0.9"/>
</pattern>
<marker id="arrow" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="9" markerHeight="9" )"
       << R"(markerUnits="userSpaceOnUse" orient="auto">
<path d="M0 1L10 5L0 9z" fill="#000"/>
</marker>
</defs>
<rect width="100%" height="100%" fill="#fff"/>
)";
}

Svg::~Svg() {
  out_ << "</svg>\n";
}

void Svg::define(Pen::Fill fill) {
  const std::string_view pattern = pattern_words(fill);
  if (pattern.empty() || std::find(defined_.begin(), defined_.end(), fill) != defined_.end()) {
    return;
  }
  defined_.push_back(fill);
  out_ << "<defs>\n" << pattern << "</defs>\n";
}

void Svg::rect(const Rect& rect, const Pen& pen) {
  define(pen.fill);
  out_ << fmt::format(R"(<rect x="{}" y="{}" width="{}" height="{}"{}/>)", number(rect.x),
                      number(rect.y), number(rect.width), number(rect.height), pen_words(pen))
       << '\n';
}

void Svg::ground(const Rect& rect) {
  out_ << fmt::format(R"(<rect x="{}" y="{}" width="{}" height="{}" fill="#fff"/>)", number(rect.x),
                      number(rect.y), number(rect.width), number(rect.height))
       << '\n';
}

void Svg::points_of(std::string_view tag, const std::vector<Point>& points, const Pen& pen) {
  define(pen.fill);
  std::string list;
  for (const Point& point : points) {
    if (!list.empty()) list += ' ';
    list += number(point.x) + "," + number(point.y);
  }
  out_ << fmt::format(R"(<{} points="{}"{}/>)", tag, list, pen_words(pen)) << '\n';
}

void Svg::lines(const std::vector<Point>& points, const Pen& pen) {
  points_of("polyline", points, pen);
}

void Svg::outline(const std::vector<Point>& points, const Pen& pen) {
  points_of("polygon", points, pen);
}

void Svg::text(const Point& at, std::string_view text, const TextStyle& style) {
  constexpr std::array<const char*, 3> anchors = {"", R"( text-anchor="middle")",
                                                  R"( text-anchor="end")"};
  const std::string turn =
      style.turned ? fmt::format(" transform=\"rotate(-90 {} {})\"", number(at.x), number(at.y))
                   : "";
  out_ << fmt::format(R"(<text x="{}" y="{}" font-size="{}"{}{}{}>{}</text>)", number(at.x),
                      number(at.y), number(style.size), style.bold ? R"( font-weight="bold")" : "",
                      anchors[static_cast<std::size_t>(style.anchor)], turn, xml_text(text))
       << '\n';
}

void Svg::begin_group(std::string_view title) {
  out_ << "<g>\n<title>" << xml_text(title) << "</title>\n";
}

void Svg::end_group() {
  out_ << "</g>\n";
}

}  // namespace budwood::drawing
