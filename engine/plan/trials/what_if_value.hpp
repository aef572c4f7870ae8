/// The right side of a what-if. Private to this module.
#pragma once

#include <optional>
#include <string>

#include "book/yaml/single_values.hpp"
#include "text/text.hpp"
#include "units/units.hpp"

namespace budwood::plan {

/// How a value says what it wants: outright, by giving up what is there, or by how much it moves.
struct Move {
  enum class Kind : std::uint8_t {
    outright,
    give_up,
    days,     ///< `number` days later
    percent,  ///< larger by the share `number`
    amount    ///< larger by `number`, in `unit` when it names one
  };
  Kind kind = Kind::outright;
  double number = 0;
  units::Unit unit;
  bool has_unit = false;
  bool is_move() const {
    return kind == Kind::days || kind == Kind::percent || kind == Kind::amount;
  }
};

/// A change as it was written, taken apart.
struct Wish {
  std::string left;   ///< "BM27-1.take"
  std::string owner;  ///< "BM27-1", "*", "site"
  std::string cell;   ///< "take"
  text::Span owner_span;
  text::Span cell_span;
  book::SingleValue value;  ///< "70 %"
  Move move;
};

/// Reads how a value moves: "1 week earlier", "10 % less", "20 fewer", "free". Anything else is
/// said outright. Nothing when it is a move that cannot be read, which is reported.
std::optional<Move> read_move(const book::SingleValue& value, text::Diagnostics& diagnostics);

/// Where a quantity comes to be, base units; `unit` is the one in which it is written. A move that
/// does not fit is reported.
std::optional<double> moved_quantity(const Wish& wish, double from, const units::Unit& unit,
                                     text::Diagnostics& diagnostics);

/// The value that a wish asks for as text: as it was written, or worked out from where it is.
std::optional<book::SingleValue> wanted_quantity(const Wish& wish, double from,
                                                 const units::Unit& unit,
                                                 text::Diagnostics& diagnostics);

/// The day that a wish asks for; `from` is where the date is now, if it has one.
std::optional<calendar::Day> wanted_day(const Wish& wish, std::optional<calendar::Day> from,
                                        text::Diagnostics& diagnostics);

}  // namespace budwood::plan
