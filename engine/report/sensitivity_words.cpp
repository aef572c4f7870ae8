#include "report/sensitivity_words.hpp"

#include <cmath>

#include "report/wording.hpp"

namespace budwood::report {

using plan::Tried;

std::string Scale::text(double value) const {
  if (std::isnan(value)) return "-";
  return dates ? short_date(value) : units::format(value, unit, digits);
}

std::string Scale::difference_text(double value) const {
  if (std::isnan(value)) return "-";
  if (dates) return calendar::days_text(static_cast<int>(value));
  units::Unit of_difference = unit;
  of_difference.offset = 0;
  return units::format(value, of_difference, digits);
}

Scale scale_of(const Tried& tried) {
  return {tried.what == Tried::What::date, tried.unit};
}

Scale scale_of(const Asked& asked, sheet::CellId id) {
  using Kind = CellRole::Kind;
  constexpr int shown_digits = 4;
  const sheet::Cell& cell = asked.t.cell(id);
  const CellRole& role = asked.roles[id];
  const auto in = [&](units::Unit unit) { return Scale{false, std::move(unit), shown_digits}; };
  if (cell.type.kind == language::Type::Kind::date) return {true, {}};
  if (role.kind == Kind::hours || role.kind == Kind::all_hours || role.kind == Kind::work_time) {
    return in(*units::find_unit("h"));
  }
  if (role.kind == Kind::amount) return in(asked.supply_of(role).unit);
  if (role.kind == Kind::days || role.kind == Kind::length) {
    units::Unit days;
    days.symbol = "days";
    return in(days);
  }
  if (cell.unit) return in(*cell.unit);
  if (cell.type.kind == language::Type::Kind::temperature) return in(*units::find_unit("degC"));
  if (cell.type.dimension == units::temperature) return in(*units::find_unit("degC_difference"));
  return in(units::usual_unit(cell.type.dimension, asked.number(id)));
}

std::string name_of(const Asked& asked, const Tried& tried) {
  if (tried.what == Tried::What::date && asked.facts().start) return "batch.start";
  return asked.t.cell(tried.cell).name;
}

const char* word(Tried::What what) {
  switch (what) {
    case Tried::What::plants:
      return "plants";
    case Tried::What::date:
      return "date";
    case Tried::What::input:
      break;
  }
  return "input";
}

}  // namespace budwood::report
