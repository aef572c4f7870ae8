#pragma once

#include <optional>
#include <string>

#include "text/text.hpp"
#include "units/units.hpp"

namespace budwood::book {

/// A value and where it was written.
template <class Value>
struct Placed {
  Value value{};
  text::Span span;
};

/// A number with its unit as someone wrote it. Whether the unit fits is for those to say who know
/// what the number is for.
struct Written {
  text::Span span;
  std::string text;        ///< as written: "82 %"
  units::Parsed quantity;  ///< what that means
  bool known_unit = true;  ///< false: the unit is no known one and is taken as something counted
  /// The count that a share rests on: `good` of `seen`. None was seen when there is no count.
  double good = 0, seen = 0;
  double batches = 0;              ///< in which they were counted; 0: nobody said
  std::optional<double> spread{};  ///< of a share, between batches: one standard deviation
  /// Instead of a number, what a table of the protocol has for a word; "" where it is a number.
  std::string table{}, word{};
};

}  // namespace budwood::book
