#include "book/site/labels_reader.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "book/yaml/values.hpp"

namespace budwood::book {

namespace {

constexpr double mm = 1e-3;
constexpr double slack = 0.05 * mm;  ///< sizes on packages are rounded
constexpr double largest_page = 2;
constexpr double smallest_width = 15 * mm, smallest_height = 8 * mm;  ///< of what can be read
constexpr int most_across = 50, most_down = 200;

/// "63.5 mm".
std::string length_text(double length) {
  constexpr double steps = 100;
  return units::format_number(std::round(length / mm * steps) / steps) + " mm";
}

struct Range {
  double low = 0, high = largest_page;
};

std::optional<double> read_length(const Node& node, std::string_view key, const Range& range,
                                  text::Diagnostics& diagnostics) {
  const Wanted wanted{key, "a length", "63.5 mm"};
  const auto written = read_quantity(node, wanted, UnitWords::only_known, diagnostics);
  if (!written) return std::nullopt;
  if (written->quantity.unit.dimension != units::length) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  const double length = written->quantity.base();
  if (length >= range.low && length <= range.high) return length;
  diagnostics.error("out-of-range", node.span,
                    "`" + std::string(key) + "` can be from " + length_text(range.low) + " to " +
                        length_text(range.high) + ".");
  return std::nullopt;
}

/// `A4`, `letter`, or its width and height.
bool read_page(const Node& node, LabelSheet& sheet, text::Diagnostics& diagnostics) {
  std::string name = node.value;
  std::transform(name.begin(), name.end(), name.begin(),
                 [](unsigned char c) { return std::tolower(c); });
  if (node.kind == Node::Kind::scalar && name == "a4") {
    sheet.page_width = 210 * mm;
    sheet.page_height = 297 * mm;
    return true;
  }
  if (node.kind == Node::Kind::scalar && name == "letter") {
    constexpr double inch = 25.4 * mm;
    sheet.page_width = 8.5 * inch;
    sheet.page_height = 11 * inch;
    return true;
  }
  if (node.kind != Node::Kind::list || node.items.size() != 2) {
    report_wanted(node, {"page", "A4, letter, or a width and a height", "[210 mm, 297 mm]"},
                  diagnostics);
    return false;
  }
  const Range range{smallest_width, largest_page};
  const auto width = read_length(node.items[0], "page", range, diagnostics);
  const auto height = read_length(node.items[1], "page", range, diagnostics);
  sheet.page_width = width.value_or(0);
  sheet.page_height = height.value_or(0);
  return width && height;
}

/// One direction of a sheet: how many labels stand in it, and what they take.
struct Direction {
  const char* number;  ///< the key that tells how many
  const char* margin;
  double page = 0;
  int labels = 1;
  double size = 0, gap = 0;

  double taken() const { return labels * size + (labels - 1) * gap; }
};

/// The margin before the first label; nothing when the labels do not fit on the page.
std::optional<double> read_margin(const Fields& fields, const Node& node, const Direction& side,
                                  text::Diagnostics& diagnostics) {
  double margin = std::max(0.0, (side.page - side.taken()) / 2);
  const Node* written = fields.get(side.margin);
  if (written != nullptr) {
    const auto length = read_length(*written, side.margin, {}, diagnostics);
    if (!length) return std::nullopt;
    margin = *length;
  }
  const double over = margin + side.taken() - side.page;
  if (over <= slack) return margin;
  std::string sum =
      std::to_string(side.labels) + " labels " + side.number + " take " + length_text(side.taken());
  if (margin > 0) sum += " after a margin of " + length_text(margin);
  diagnostics.error("out-of-range", written != nullptr ? written->span : node.span,
                    "The labels do not fit on the page: " + sum + ", and the page has " +
                        length_text(side.page) + ". That is " + length_text(over) + " too much.",
                    "Measure label, gap and margin again, or write fewer labels `" +
                        std::string(side.number) + "`.");
  return std::nullopt;
}

std::optional<int> read_number(const Fields& fields, const char* key, int most,
                               text::Diagnostics& diagnostics) {
  const Node* node = fields.need(key, std::string(key) + ": 3");
  if (node == nullptr) return std::nullopt;
  const auto number =
      read_whole(*node, {key, "a whole number", "3"}, 1, most, "labels", diagnostics);
  if (!number) return std::nullopt;
  return static_cast<int>(number->value);
}

std::optional<double> read_gap(const Fields& fields, const char* key,
                               text::Diagnostics& diagnostics) {
  const Node* node = fields.get(key);
  return node == nullptr ? 0.0 : read_length(*node, key, {}, diagnostics);
}

}  // namespace

std::optional<LabelSheet> read_labels(const Node& node, text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::labels, diagnostics);
  if (!fields.usable()) return std::nullopt;
  LabelSheet sheet;
  const Node* page = fields.need("page", "page: A4");
  bool right = page != nullptr && read_page(*page, sheet, diagnostics);
  const auto across = read_number(fields, "across", most_across, diagnostics);
  const auto down = read_number(fields, "down", most_down, diagnostics);
  const auto gap_across = read_gap(fields, "gap_across", diagnostics);
  const auto gap_down = read_gap(fields, "gap_down", diagnostics);
  std::optional<double> width;
  std::optional<double> height;
  if (const Node* value = fields.need("width", "width: 63.5 mm")) {
    width = read_length(*value, "width", {smallest_width, largest_page}, diagnostics);
  }
  if (const Node* value = fields.need("height", "height: 33.9 mm")) {
    height = read_length(*value, "height", {smallest_height, largest_page}, diagnostics);
  }
  right = right && across && down && gap_across && gap_down && width && height;
  if (!right) return std::nullopt;
  sheet.across = *across;
  sheet.down = *down;
  sheet.width = *width;
  sheet.height = *height;
  sheet.gap_across = *gap_across;
  sheet.gap_down = *gap_down;
  const auto left =
      read_margin(fields, node, {"across", "left", sheet.page_width, *across, *width, *gap_across},
                  diagnostics);
  const auto top = read_margin(
      fields, node, {"down", "top", sheet.page_height, *down, *height, *gap_down}, diagnostics);
  if (!left || !top) return std::nullopt;
  sheet.left = *left;
  sheet.top = *top;
  return sheet;
}

}  // namespace budwood::book
