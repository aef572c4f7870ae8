#include "report/sheet/sensitivity_words.hpp"

#include <cmath>

#include "report/formats/wording.hpp"
#include "report/sheet/sheet_cells.hpp"

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
  constexpr int shown_digits = 4;
  if (asked.t.cell(id).type.kind == language::Type::Kind::date) return {true, {}};
  const CellRole& role = asked.roles[id];
  const bool amount = role.kind == CellRole::Kind::amount;
  return {false, amount ? asked.supply_of(role).unit : cell_unit(asked.row.sheet(), id),
          shown_digits};
}

std::string name_of(const Asked& asked, const Tried& tried) {
  if (tried.what == Tried::What::date && asked.facts().start) return "batch.start";
  if (tried.what == Tried::What::date && asked.facts().not_before) return "batch.not_before";
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
