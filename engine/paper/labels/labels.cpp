#include "paper/labels/labels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "paper/labels/label_text.hpp"
#include "paper/labels/qr_code.hpp"
#include "paper/page.hpp"

namespace budwood::paper {

namespace {

constexpr double mm = 1e-3;   ///< the book has metres, the pages millimetres
constexpr double margin = 2;  ///< inside a label; printers do not hit their place exactly
constexpr LetterSizes letters{3.6, 1.7};
constexpr double code_share = 0.38;  ///< of the width of a label, at most for the QR code
constexpr double largest_code = 28;
constexpr double name_scale = 1.25, code_scale = 0.72;

std::string number(double value) {
  constexpr double steps = 1000;
  const double rounded = std::round(value * steps) / steps;
  return fmt::format("{}", rounded == 0 ? 0.0 : rounded);
}

struct Box {
  double x = 0, y = 0, width = 0, height = 0;
};

/// A picture in a picture: whatever is drawn in it stays in it.
Html::Element open_box(Html& html, const Box& box) {
  return html.open("svg", {{"x", number(box.x)},
                           {"y", number(box.y)},
                           {"width", number(box.width)},
                           {"height", number(box.height)},
                           {"overflow", "hidden"}});
}

/// In the middle of the height, at the right.
void write_code(Html& html, const QrCode& code, const Box& box) {
  const double side = std::min(box.width, box.height);
  const double module = side / (code.modules + 2 * quiet_zone);
  const std::string place = "translate(" +
                            number(box.x + (box.width - side) / 2 + quiet_zone * module) + " " +
                            number(box.y + (box.height - side) / 2 + quiet_zone * module) +
                            ") scale(" + number(module) + ")";
  const auto path = html.open("path", {{"transform", place}, {"d", code.path}});
}

void write_text(Html& html, const Label& label, const Box& box) {
  std::vector<Paragraph> paragraphs = {{label.name, true, name_scale}, {label.heading, true, 1}};
  for (const std::string& line : label.lines) paragraphs.push_back({line, false, 1});
  if (label.code != label.name) paragraphs.push_back({label.code, false, code_scale});
  const auto inner = open_box(html, box);
  for (const PlacedLine& line : fit_text(paragraphs, box.width, box.height, letters)) {
    const auto text = html.open("text", {{"x", "0"},
                                         {"y", number(line.baseline)},
                                         {"font-size", number(line.size)},
                                         {"font-weight", line.bold ? "bold" : ""}});
    html.text(line.text);
  }
}

void write_label(Html& html, const Label& label, const Box& box) {
  const auto whole = open_box(html, box);
  const double code_side =
      std::min({box.height - 2 * margin, code_share * box.width, largest_code});
  // The quiet zone is white as well, so that the code needs no margin of its own.
  const Box code{box.width - code_side - margin / 2, margin, code_side, box.height - 2 * margin};
  write_text(html, label, {margin, margin, code.x - margin, box.height - 2 * margin});
  write_code(html, qr_code(label.code), code);
}

/// Where the n-th label of a sheet stands, from 0; row by row.
Box place_of(const book::LabelSheet& sheet, std::size_t n) {
  const auto across = static_cast<std::size_t>(sheet.across);
  const auto column = static_cast<double>(n % across);
  const auto row = static_cast<double>(n / across);
  return {(sheet.left + column * (sheet.width + sheet.gap_across)) / mm,
          (sheet.top + row * (sheet.height + sheet.gap_down)) / mm, sheet.width / mm,
          sheet.height / mm};
}

/// One sheet, from 0. `standing_alone`: it is the whole document.
void write_sheet(Html& html, const std::vector<Label>& labels, const LabelPages& pages,
                 std::size_t number_of_sheet, bool standing_alone) {
  const book::LabelSheet& sheet = pages.sheet;
  const std::string width = number(sheet.page_width / mm);
  const std::string height = number(sheet.page_height / mm);
  const auto drawing =
      html.open("svg", {{"xmlns", standing_alone ? "http://www.w3.org/2000/svg" : ""},
                        {"width", width + "mm"},
                        {"height", height + "mm"},
                        {"viewBox", "0 0 " + width + " " + height},
                        {"font-family", "Arial, Liberation Sans, DejaVu Sans, sans-serif"}});
  const auto a_sheet = static_cast<std::size_t>(sheet.labels());
  for (std::size_t place = 0; place < a_sheet; ++place) {
    const std::size_t at = number_of_sheet * a_sheet + place;
    if (at < pages.skip || at - pages.skip >= labels.size()) continue;
    write_label(html, labels[at - pages.skip], place_of(sheet, place));
  }
}

}  // namespace

book::LabelSheet usual_label_sheet() {
  book::LabelSheet out;
  out.page_width = 210 * mm;
  out.page_height = 297 * mm;
  out.across = 3;
  out.down = 8;
  out.width = 64 * mm;
  out.height = 34 * mm;
  out.left = (out.page_width - out.across * out.width) / 2;
  out.top = (out.page_height - out.down * out.height) / 2;
  return out;
}

std::size_t sheets_of(std::size_t labels, const LabelPages& pages) {
  if (labels == 0) return 0;
  const auto a_sheet = static_cast<std::size_t>(pages.sheet.labels());
  return (labels + pages.skip + a_sheet - 1) / a_sheet;
}

void write_labels_html(std::ostream& out, const std::vector<Label>& labels,
                       const LabelPages& pages) {
  Html html(out);
  begin_document(html, "Labels");
  html.own("<style>\n@page { margin: 0; size: ");
  html.text(number(pages.sheet.page_width / mm) + "mm " + number(pages.sheet.page_height / mm) +
            "mm");
  html.own("; }\nbody { margin: 0; }\nsvg { display: block; }\n");
  html.own("body > svg + svg { break-before: page; }\n</style>\n</head>\n<body>\n");
  if (labels.empty()) html.text("p", {}, "No labels.");
  for (std::size_t i = 0; i < sheets_of(labels.size(), pages) && html; ++i) {
    write_sheet(html, labels, pages, i, false);
  }
  html.own("</body>\n</html>\n");
}

void write_labels_svg(std::ostream& out, const std::vector<Label>& labels, const LabelPages& pages,
                      std::size_t number_of_sheet) {
  Html html(out);
  html.own("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
  write_sheet(html, labels, pages, number_of_sheet - 1, true);
}

}  // namespace budwood::paper
