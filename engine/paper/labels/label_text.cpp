#include "paper/labels/label_text.hpp"

#include <algorithm>

#include "drawing/drawing.hpp"
#include "text/text.hpp"

namespace budwood::paper {

namespace {

constexpr double line_height = 1.2;  ///< em
constexpr double ascent = 0.95;      ///< em above the baseline
constexpr double step = 0.94;        ///< from one size of letters to the next smaller one
constexpr std::size_t any_number = 1000;
constexpr std::size_t most_columns = 400;  ///< of a paragraph; no label holds more

drawing::TextStyle style_of(const Paragraph& paragraph, double size) {
  drawing::TextStyle style;
  style.size = size * paragraph.scale;
  style.bold = paragraph.bold;
  return style;
}

/// What is worth laying out of a paragraph.
Paragraph shortened(Paragraph paragraph) {
  paragraph.text = text::printable(paragraph.text);
  if (text::display_width(paragraph.text) > most_columns) {
    paragraph.text.resize(text::fitting_bytes(paragraph.text, most_columns));
  }
  return paragraph;
}

double height_of(const Paragraph& paragraph, std::size_t lines, double size) {
  return static_cast<double>(lines) * line_height * size * paragraph.scale;
}

/// How many lines each paragraph takes when none is cut.
std::vector<std::size_t> lines_of(const std::vector<Paragraph>& paragraphs, double width,
                                  double size) {
  std::vector<std::size_t> out;
  for (const Paragraph& one : paragraphs) {
    out.push_back(drawing::wrap_text(one.text, width, any_number, style_of(one, size)).size());
  }
  return out;
}

/// Lines for each paragraph at the smallest size: one each as far as they go, then what is left to
/// those that need more, the first ones first.
std::vector<std::size_t> rationed(const std::vector<Paragraph>& paragraphs,
                                  const std::vector<std::size_t>& wanted, double height,
                                  double size) {
  std::vector<std::size_t> given(paragraphs.size(), 0);
  for (std::size_t round = 0; round < any_number; ++round) {
    bool changed = false;
    for (std::size_t i = 0; i < paragraphs.size(); ++i) {
      const double one = height_of(paragraphs[i], 1, size);
      if (given[i] != round || given[i] >= wanted[i] || one > height) continue;
      height -= one;
      ++given[i];
      changed = true;
    }
    if (!changed) break;
  }
  return given;
}

std::vector<PlacedLine> placed(const std::vector<Paragraph>& paragraphs,
                               const std::vector<std::size_t>& lines, double width, double size) {
  std::vector<PlacedLine> out;
  double top = 0;
  for (std::size_t i = 0; i < paragraphs.size(); ++i) {
    if (lines[i] == 0) continue;
    const drawing::TextStyle style = style_of(paragraphs[i], size);
    for (std::string& line : drawing::wrap_text(paragraphs[i].text, width, lines[i], style)) {
      out.push_back({std::move(line), top + ascent * style.size, style.size, style.bold});
      top += line_height * style.size;
    }
  }
  return out;
}

}  // namespace

std::vector<PlacedLine> fit_text(const std::vector<Paragraph>& paragraphs, double width,
                                 double height, const LetterSizes& sizes) {
  std::vector<Paragraph> texts;
  for (const Paragraph& one : paragraphs) texts.push_back(shortened(one));
  for (double size = sizes.largest;; size = std::max(size * step, sizes.smallest)) {
    const std::vector<std::size_t> lines = lines_of(texts, width, size);
    double taken = 0;
    for (std::size_t i = 0; i < texts.size(); ++i) taken += height_of(texts[i], lines[i], size);
    if (taken <= height) return placed(texts, lines, width, size);
    if (size <= sizes.smallest) {
      return placed(texts, rationed(texts, lines, height, size), width, size);
    }
  }
}

}  // namespace budwood::paper
