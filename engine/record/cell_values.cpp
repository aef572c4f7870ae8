#include "record/cell_values.hpp"

#include <charconv>
#include <cmath>
#include <string>
#include <string_view>

#include "units/units.hpp"

namespace budwood::record {

namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// Takes pieces from the front of a cell.
class Pieces {
 public:
  explicit Pieces(std::string_view text) : rest_(text) { skip_spaces(); }

  bool over() const { return rest_.empty(); }
  bool has_colon() const { return !over() && rest_.front() == ':'; }
  /// "291", "6.5".
  std::optional<double> number() {
    if (over() || !is_digit(rest_.front())) return std::nullopt;
    double value = 0;
    const auto [end, problem] =
        std::from_chars(rest_.data(), rest_.data() + rest_.size(), value, std::chars_format::fixed);
    if (problem != std::errc()) return std::nullopt;
    take(static_cast<std::size_t>(end - rest_.data()));
    return value;
  }
  /// Two digits behind a colon, up to 59.
  std::optional<double> behind_colon() {
    const bool there = rest_.size() >= 3 && rest_[0] == ':' && is_digit(rest_[1]) &&
                       is_digit(rest_[2]) && (rest_.size() == 3 || !is_digit(rest_[3]));
    if (!there) return std::nullopt;
    const double value = (rest_[1] - '0') * 10 + (rest_[2] - '0');
    take(3);
    return value < 60 ? std::optional(value) : std::nullopt;
  }
  /// Letters that stand together; "" when there are none.
  std::string word() {
    const auto is_letter = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); };
    std::size_t size = 0;
    while (size < rest_.size() && is_letter(rest_[size])) ++size;
    std::string out(rest_.substr(0, size));
    take(size);
    return out;
  }

 private:
  void take(std::size_t size) {
    rest_.remove_prefix(size);
    skip_spaces();
  }
  void skip_spaces() {
    while (!over() && rest_.front() == ' ') rest_.remove_prefix(1);
  }

  std::string_view rest_;
};

/// Tenths of a second are more than anybody notes.
double in_tenths(double seconds) {
  return std::round(seconds * 10) / 10;
}

/// "6:10", "6:10:30" behind their hours.
std::optional<double> clock_time(double hours, Pieces& pieces) {
  const auto minutes = pieces.behind_colon();
  std::optional<double> seconds = 0;
  if (pieces.has_colon()) seconds = pieces.behind_colon();
  if (hours != std::floor(hours) || !minutes || !seconds || !pieces.over()) return std::nullopt;
  return hours * units::seconds_an_hour + *minutes * 60 + *seconds;
}

/// "6 h 10 min", "6h10", "370 min" behind the first number.
std::optional<double> time_with_units(double value, Pieces& pieces) {
  double seconds = 0;
  double before = 0;  // the length of the unit before
  while (true) {
    const std::string name = pieces.word();
    const auto unit = units::find_unit(name);
    const bool minutes = name.empty() && pieces.over() && before == units::seconds_an_hour;
    if (!minutes && (!unit || unit->dimension != units::time)) return std::nullopt;
    const double length = minutes ? 60 : in_tenths(unit->to_base(1));
    // Larger units come first, and what follows is less than one of them.
    if (before > 0 && !(value * length < before)) return std::nullopt;
    seconds += in_tenths(value * length);
    before = length;
    if (pieces.over()) return seconds;
    const auto next = pieces.number();
    if (!next) return std::nullopt;
    value = *next;
  }
}

}  // namespace

std::optional<language::syntax::EntryNumber> read_plants(const language::syntax::Text& cell) {
  language::syntax::EntryNumber out;
  out.span = cell.span;
  out.unit = {"plants", cell.span};
  Pieces pieces(cell.value);
  const auto value = pieces.number();
  if (!value) return std::nullopt;
  out.value = *value;
  std::string word = pieces.word();
  if (word == "of") {
    out.of = pieces.number();
    if (!out.of) return std::nullopt;
    word = pieces.word();
  }
  const bool fits = word.empty() || word == "plants" || word == "plant";
  return fits && pieces.over() ? std::optional(out) : std::nullopt;
}

std::optional<language::syntax::EntryNumber> read_time(const language::syntax::Text& cell) {
  Pieces pieces(cell.value);
  const auto value = pieces.number();
  if (!value) return std::nullopt;
  std::optional<double> seconds;
  if (pieces.over()) {
    seconds = in_tenths(*value * units::seconds_an_hour);
  } else {
    seconds = pieces.has_colon() ? clock_time(*value, pieces) : time_with_units(*value, pieces);
  }
  if (!seconds) return std::nullopt;
  language::syntax::EntryNumber out;
  out.value = *seconds;
  out.span = cell.span;
  return out;
}

}  // namespace budwood::record
