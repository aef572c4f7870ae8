#pragma once

#include <string>

#include "book/book.hpp"

namespace budwood::plan::test {

/// A quantity as a book reads it; an unknown word counts things.
inline book::Written quantity(const std::string& text) {
  book::Written written;
  written.text = text;
  if (const auto parsed = units::parse_quantity(text)) {
    written.quantity = *parsed;
    return written;
  }
  const std::size_t space = text.find(' ');
  written.quantity = *units::parse_quantity(text.substr(0, space));
  written.quantity.unit = units::counting_unit(text.substr(space + 1));
  written.quantity.has_unit = true;
  written.known_unit = false;
  return written;
}

}  // namespace budwood::plan::test
