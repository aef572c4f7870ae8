#include "report/orders/order_words.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "plan/orders/portions.hpp"
#include "report/formats/wording.hpp"

namespace budwood::report {

std::string supply_text(const plan::SupplyAmount& use) {
  std::string text = use.title.empty() ? use.supply : use.title;
  text += ": " + units::format(use.amount, use.unit);
  if (use.reused) text += " (comes back)";
  if (!use.lot.empty()) text += " (lot: " + use.lot + ")";
  return text;
}

std::string supplies_text(const std::vector<plan::SupplyAmount>& uses) {
  std::vector<std::string> out;
  for (const plan::SupplyAmount& use : uses) out.push_back(supply_text(use));
  return joined(out, "; ");
}

std::string works_text(std::size_t works, std::size_t makings) {
  if (makings == 0) return counted(works, "work order");
  const std::string made = counted(makings, "making");
  return works == 0 ? made : counted(works, "work order") + " and " + made;
}

std::string made_where(const plan::MakingDetail& making) {
  std::vector<std::string> pieces{making.id};
  if (!making.crew.empty()) pieces.push_back("crew " + making.crew);
  if (making.people > 0) {
    pieces.push_back(units::format_number(making.people) +
                     (making.people == 1 ? " person" : " people together"));
  }
  return joined(pieces, ", ");
}

std::string lots_text(const plan::OrderDetail& order) {
  std::vector<std::string> pieces;
  for (const plan::SupplyAmount& use : order.supplies) {
    if (!use.lot.empty()) pieces.push_back(use.supply + ": " + use.lot);
  }
  return joined(pieces, "; ");
}

std::vector<SupplyColumn> supply_columns(const plan::Plan& plan) {
  std::set<SupplyColumn> columns;
  for (const sheet::Sheet& sheet : plan.sheets) {
    for (const language::Supply& supply : sheet.layout().protocol.supplies) {
      columns.emplace(supply.name, supply.unit.symbol);
    }
  }
  return {columns.begin(), columns.end()};
}

std::optional<double> supply_amount(const std::vector<plan::SupplyAmount>& supplies,
                                    const SupplyColumn& column) {
  std::optional<double> amount;
  for (const plan::SupplyAmount& use : supplies) {
    if (use.supply != column.first || use.unit.symbol != column.second) continue;
    amount = amount.value_or(0) + use.unit.from_base(use.amount);
  }
  return amount;
}

namespace {

/// All pickings of a stage together, by grade.
std::vector<plan::GradeAmount> graded_in_all(const std::vector<plan::Portion>& portions,
                                             language::StageId stage) {
  std::vector<plan::GradeAmount> out;
  for (const plan::Portion& one : portions) {
    if (one.stage != stage) continue;
    for (const plan::GradeAmount& grade : one.grades) {
      const auto known = std::find_if(out.begin(), out.end(), [&](const plan::GradeAmount& other) {
        return other.grade == grade.grade;
      });
      if (known == out.end()) {
        out.push_back(grade);
      } else {
        known->plants += grade.plants;
      }
    }
  }
  return out;
}

}  // namespace

std::vector<std::string> portion_lines(const plan::Plan& plan, const plan::BatchPlan& batch) {
  std::vector<std::string> out;
  const std::vector<plan::Portion> portions = plan::portions_of(plan, batch);
  const sheet::Row row = plan.row_of(batch);
  for (const language::StageId s : row.protocol().stages.ids()) {
    std::string line;
    for (const plan::Portion& one : portions) {
      if (one.stage != s) continue;
      line += (line.empty() ? "" : ", ") + whole_plants(one.plants) +
              (one.counted ? " counted" : "") + " on " + short_date(one.date);
    }
    if (line.empty()) continue;
    const bool picks = language::picks_in_portions(row.stage(s));
    line = "`" + row.stage(s).name + "`: " + (picks ? "picked " : "sorted ") + line;
    if (const double unpicked = std::round(plan::left_unpicked(row, s)); unpicked > 0) {
      line += "; " + whole_plants(unpicked) + " in no picking, thrown out";
    }
    const std::string grades = plan::graded_text(graded_in_all(portions, s));
    out.push_back(line + (grades.empty() ? "." : ". Grades: " + grades + "."));
  }
  return out;
}

}  // namespace budwood::report
