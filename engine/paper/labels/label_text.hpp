#pragma once

#include <string>
#include <vector>

namespace budwood::paper {

/// A paragraph that is to stand in a narrow space.
struct Paragraph {
  std::string text;
  bool bold = false;
  double scale = 1;  ///< of its letters against those of the others
};

/// A line as it is drawn.
struct PlacedLine {
  std::string text;
  double baseline = 0;  ///< below the upper edge of the space
  double size = 0;      ///< of an em
  bool bold = false;
};

/// Sizes of an em between which letters are chosen.
struct LetterSizes {
  double largest = 0, smallest = 0;
};

/// Lays paragraphs out below each other in the largest letters in which all of them fit whole.
/// Where even the smallest are too large, long paragraphs end in an ellipsis, and the last ones are
/// left out. Nothing stands outside `width` and `height`. All lengths are in one unit.
std::vector<PlacedLine> fit_text(const std::vector<Paragraph>& paragraphs, double width,
                                 double height, const LetterSizes& sizes);

}  // namespace budwood::paper
