/// One idea of before and after: a reading of each side. CSV and JSON of work, needs and cells
/// have the same columns.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "report/formats/table.hpp"
#include "units/units.hpp"

/// What differs between two plans of one book: the same for work, needs and cells.
namespace budwood::report {

class Csv;
class JsonWriter;

/// A value as it stands in a plan, for people and for programs.
struct Reading {
  enum class Kind : std::uint8_t { none, text, date, amount, share, hours, money };
  Kind kind = Kind::none;
  double value = 0;         ///< base units; of a date the day
  units::Unit unit;         ///< of an amount
  std::string shown = "-";  ///< for people

  /// For programs: in its unit, shares in %, people's time in hours. Meaningless for texts and
  /// dates.
  double number() const;
  /// The unit of `number`; "days" for dates, whose differences are in them.
  std::string unit_name() const;
};

Reading no_reading();
Reading text_reading(std::string text);
/// No reading for a value that is no number, as below.
Reading date_reading(double day);
Reading amount_reading(double base, const units::Unit& unit, int digits = 6);
/// Whole plants.
Reading plants_reading(double plants);
Reading share_reading(double share);
Reading chance_reading(double chance);
Reading hours_reading(double person_seconds);
/// `currency` may be empty.
Reading money_reading(double money, const std::string& currency);

bool differ(const Reading& before, const Reading& after);

/// "7 days earlier", "+20 plants", "-4.2 points", "new", "gone"; "" for texts.
std::string difference_text(const Reading& before, const Reading& after);
/// The same as a number, in `unit_name`; nothing where there is none.
std::optional<double> difference_number(const Reading& before, const Reading& after);

/// One value that differs.
struct Difference {
  std::string about;  ///< what kind of thing it belongs to: "batch", "order", "supply"
  std::string batch;  ///< "" for the whole book
  std::string name;   ///< of the thing: the id of an order, the name of a supply or cell
  std::string title;  ///< of the thing, for people; may be empty
  std::string value;  ///< which of its values: "date", "plants"; "" when it has one only
  Reading before, after;
};
using Differences = std::vector<Difference>;

/// Adds the difference when there is one.
void add_difference(Differences& out, Difference difference);

/// The differences about one kind of thing.
Differences only_about(const Differences& all, std::string_view about);

/// A value for programs: a number in its unit, an ISO date, a text; empty or null for none.
void write_reading(Csv& csv, const Reading& reading);
void write_reading(JsonWriter& json, std::string_view key, const Reading& reading);

/// A table of them, named by batch, title and value; nothing when there are none.
void write_differences_table(std::ostream& out, const Differences& differences,
                             std::string_view head, const Style& style);
/// One row each: about, batch, name, title, value, before, after, difference, unit.
void write_differences_csv(std::ostream& out, const Differences& differences);
/// `{"site": ..., "differences": [...]}` with the same names; null where there is no value.
void write_differences_json(std::ostream& out, std::string_view site,
                            const Differences& differences);

}  // namespace budwood::report
