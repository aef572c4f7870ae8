#pragma once

#include "editor/document.hpp"

namespace budwood::editor {

/// A line of the outline of a file, with those below it.
struct OutlineLine {
  language::WrittenItem::Kind kind = language::WrittenItem::Kind::declaration;
  std::string name;
  std::string detail;  ///< its title
  Range range;         ///< all of it
  Range head;          ///< its name
  std::vector<OutlineLine> below;
};
std::vector<OutlineLine> outline(const Document& document);

/// Lines that can be folded up into the first: blocks, and comments of several lines.
struct Fold {
  std::uint32_t first = 0, last = 0;
  bool comment = false;
};
std::vector<Fold> folds(const Document& document);

/// A word with the colour that it is shown in; never over a line's end.
struct Coloured {
  enum class Colour : std::uint8_t {
    keyword,
    text,
    number,
    unit,
    comment,
    sign,
    stage,
    part,
    supply,
    value,     ///< inputs, lets and what is observed
    function,  ///< tables and what formulas know
    setting,
    property,
    other,  ///< protocols, rooms, crews, tags
  };
  Position begin;
  std::uint32_t length = 0;  ///< in UTF-16 units
  Colour colour = Colour::keyword;
  bool declares = false;
};
std::vector<Coloured> colours(const Document& document);

}  // namespace budwood::editor
