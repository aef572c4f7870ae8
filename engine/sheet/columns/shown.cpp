#include "sheet/columns/shown.hpp"

#include <algorithm>
#include <cmath>

namespace budwood::sheet {

bool meets(const Expectation& e, double value) {
  const double tolerance = slack(value, std::isfinite(e.high) ? e.high : value);
  if (value < e.low - tolerance || value > e.high + tolerance) return false;
  return !(e.above_low && value <= e.low) && !(e.below_high && value >= e.high);
}

std::vector<std::size_t> unmet_expectations(const Row& row) {
  const auto met = [&](const Expectation& e) {
    const double value = row.value(e.cell);
    if (std::isnan(value)) return true;  // told apart by origin_of_no_value
    if (e.plants != no_cell && row.value(e.plants) == 0) return true;
    if (!meets(e, value)) return false;
    const double tolerance = slack(value, std::isfinite(e.high) ? e.high : value);
    return e.not_below == no_cell || !(value < row.value(e.not_below) - tolerance);
  };
  std::vector<std::size_t> out;
  const std::vector<Expectation>& all = row.layout().expectations;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!met(all[i])) out.push_back(i);
  }
  return out;
}

units::Unit unit_to_show(const language::Type& type, double largest, units::System system) {
  using Kind = language::Type::Kind;
  if (type.kind == Kind::temperature) return units::in_system(*units::find_unit("degC"), system);
  if (type.kind == Kind::quantity && type.dimension == units::temperature) {
    units::Unit difference = *units::find_unit("degC_difference");
    difference.symbol = "degC";
    return units::in_system(difference, system);
  }
  return units::in_system(units::usual_unit(type.dimension, largest), system);
}

std::string shown(double value, const language::Type& type, const std::optional<units::Unit>& unit,
                  int digits, units::System system) {
  using Kind = language::Type::Kind;
  if (std::isnan(value)) return "-";
  if (unit) return units::format(value, *unit, digits);
  if (type.kind == Kind::date) return calendar::iso_date(static_cast<Day>(value));
  if (type.kind == Kind::truth) return value != 0 ? "yes" : "no";
  const bool difference = type.kind == Kind::quantity && type.dimension == units::temperature;
  return units::format(value, unit_to_show(type, value, system), difference ? 3 : 6);
}

std::string shown(const Row& row, CellId id) {
  const Cell& cell = row.layout().cell(id);
  return shown(row.value(id), cell.type, cell.unit, 6, row.protocol().system);
}

std::string message_of(const Row& row, std::size_t requirement) {
  const Template& t = row.layout();
  const auto& pieces = t.protocol.requirements[requirement].message;
  std::string out;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    out += pieces[i].text;
    if (pieces[i].value == language::no_formula) continue;
    const language::Type& type = t.protocol.node(pieces[i].value).type;
    // Without a site and a batch there are no real dates.
    if (row.sheet().site().stand_in && type.kind == language::Type::Kind::date) {
      out += "(a day of the batch)";
      continue;
    }
    out += shown(row.answer(t.messages[requirement][i]), type, pieces[i].unit, pieces[i].digits,
                 t.protocol.system);
  }
  return out;
}

std::string shown(const Row& row, const Expectation& expectation) {
  const std::string value = shown(row, expectation.cell);
  if (expectation.not_below == no_cell) return value;
  return shown(row, expectation.not_below) + " against " + value;
}

std::optional<CellId> origin_of_no_value(const Row& row) {
  const Template& t = row.layout();
  for (const CellId id : t.order) {
    if (id == Template::dates_turn || t.cell(id).kind == Cell::Kind::date) continue;
    if (!std::isnan(row.value(id)) || t.cell(id).may_lack_value) continue;
    const std::vector<CellId>& uses = t.cell(id).uses;
    const bool own = std::none_of(uses.begin(), uses.end(),
                                  [&](CellId used) { return std::isnan(row.value(used)); });
    if (own) return id;
  }
  return std::nullopt;
}

}  // namespace budwood::sheet
