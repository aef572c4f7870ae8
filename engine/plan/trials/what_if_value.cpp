#include "plan/trials/what_if_value.hpp"

#include <cmath>

#include "units/rounding.hpp"
#include "units/units.hpp"

namespace budwood::plan {

namespace {

constexpr int all_digits = 15;

bool is_spaced(const std::string& text, std::size_t at) {
  return at != std::string::npos && at > 0 && at + 1 < text.size();
}

void report(const book::SingleValue& value, std::string message, std::string advice,
            text::Diagnostics& diagnostics) {
  diagnostics.error("wrong-value", value.span, std::move(message), std::move(advice));
}

/// By how many days "1 week" moves a date; nothing when it is no whole number of them.
std::optional<double> whole_days(const units::Parsed& amount) {
  if (!amount.has_unit || amount.unit.dimension != units::time) return std::nullopt;
  const double days = amount.base() / units::seconds_a_day;
  const double whole = std::round(days);
  if (std::abs(days - whole) > units::slack(days, 1) || whole > calendar::last_day)
    return std::nullopt;
  return whole;
}

/// Counts of one thing are no counts of another.
bool fits(const units::Unit& own, const units::Unit& unit) {
  if (own.dimension != unit.dimension) return false;
  return own.noun.empty() || unit.noun.empty() || own.noun == unit.noun;
}

}  // namespace

std::optional<Move> read_move(const book::SingleValue& value, text::Diagnostics& diagnostics) {
  Move move;
  if (value.text == "usual" || value.text == "free") {
    move.kind = Move::Kind::give_up;
    return move;
  }
  const std::size_t space = value.text.rfind(' ');
  if (!is_spaced(value.text, space)) return move;
  const std::string word = value.text.substr(space + 1);
  const bool down = word == "earlier" || word == "less" || word == "fewer";
  const bool of_date = word == "earlier" || word == "later";
  if (!down && !of_date && word != "more") return move;
  const auto amount = units::parse_quantity(value.text.substr(0, space));
  if (!amount || amount->value < 0) {
    report(value, "`" + word + "` wants a number before it, and perhaps a unit.",
           of_date ? "Such as `1 week earlier` or `3 days later`."
                   : "Such as `10 % less`, `20 fewer` or `2 more`.",
           diagnostics);
    return std::nullopt;
  }
  if (of_date) {
    const auto days = whole_days(*amount);
    if (!days) {
      report(value, "A date moves by whole days or weeks.",
             "Such as `1 week earlier` or `3 days later`.", diagnostics);
      return std::nullopt;
    }
    move.kind = Move::Kind::days;
    move.number = *days;
  } else if (amount->unit.symbol == "%") {
    move.kind = Move::Kind::percent;
    move.number = amount->base();
  } else {
    move.kind = Move::Kind::amount;
    move.number = amount->value;
    move.unit = amount->unit;
    move.has_unit = amount->has_unit;
  }
  if (down) move.number = -move.number;
  return move;
}

std::optional<double> moved_quantity(const Wish& wish, double from, const units::Unit& unit,
                                     text::Diagnostics& diagnostics) {
  const Move& move = wish.move;
  const std::string name = "`" + wish.left + "`";
  if (std::isnan(from)) {
    report(wish.value, name + " has no value to start from.", "Say outright what it shall be.",
           diagnostics);
    return std::nullopt;
  }
  const std::string now = "It is " + units::format(from, unit) + " now.";
  if (move.kind == Move::Kind::days) {
    report(wish.value, name + " is no date, so it cannot be earlier or later.", now, diagnostics);
    return std::nullopt;
  }
  if (move.kind == Move::Kind::percent) {
    if (!unit.absolute) return from * (1 + move.number);
    report(wish.value, "No temperature is a share of another.",
           now + " Say by how much, such as `2 degC more`.", diagnostics);
    return std::nullopt;
  }
  if (!move.has_unit) return from + move.number * unit.factor;
  if (fits(move.unit, unit)) return from + move.number * move.unit.factor;
  diagnostics.error("unit-mismatch", wish.value.span,
                    name + " cannot change by " + units::describe(move.unit.dimension) + ".", now);
  return std::nullopt;
}

std::optional<book::SingleValue> wanted_quantity(const Wish& wish, double from,
                                                 const units::Unit& unit,
                                                 text::Diagnostics& diagnostics) {
  if (!wish.move.is_move()) return wish.value;
  const auto value = moved_quantity(wish, from, unit, diagnostics);
  if (!value) return std::nullopt;
  // Plain decimals, so that what was worked out reads like what is written.
  constexpr double largest = 1e14;
  if (!(std::abs(unit.from_base(*value)) < largest)) {
    report(wish.value, "`" + wish.left + "` would become larger than any number of the trade.", "",
           diagnostics);
    return std::nullopt;
  }
  // A word that only the protocol knows as a unit is left out: a plain number is in that unit.
  const std::string text = units::find_unit(unit.symbol)
                               ? units::format(*value, unit, all_digits)
                               : units::format_number(unit.from_base(*value), all_digits);
  return book::SingleValue{text, wish.value.span};
}

std::optional<calendar::Day> wanted_day(const Wish& wish, std::optional<calendar::Day> from,
                                        text::Diagnostics& diagnostics) {
  const Move& move = wish.move;
  if (!move.is_move()) {
    const auto day = book::read_date(wish.cell, wish.value, diagnostics);
    if (!day) return std::nullopt;
    return day->value;
  }
  const std::string name = "`" + wish.left + "`";
  if (move.kind != Move::Kind::days) {
    report(wish.value, name + " is a date.",
           "Such as `2027-05-10`, `1 week earlier` or `3 days later`.", diagnostics);
    return std::nullopt;
  }
  if (!from) {
    report(wish.value, name + " has no date to move from.", "Write the date, such as `2027-05-10`.",
           diagnostics);
    return std::nullopt;
  }
  const double day = *from + move.number;
  if (day >= calendar::first_day && day <= calendar::last_day) {
    return static_cast<calendar::Day>(day);
  }
  diagnostics.error("no-such-date", wish.value.span,
                    name + " would leave the calendar, which runs from 1970 to 2199.",
                    "It is " + calendar::iso_date(*from) + " now.");
  return std::nullopt;
}

}  // namespace budwood::plan
