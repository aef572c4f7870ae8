#include "plan/orders/portions.hpp"

#include <algorithm>
#include <cmath>

#include "plan/orders/order.hpp"
#include "sheet/columns/given.hpp"

namespace budwood::plan {

using calendar::Day;
using language::StageId;

namespace {

/// Less than half of one is missed by nobody.
constexpr double half_a_plant = 0.5;

/// Each picking has its share of every grade.
std::vector<GradeAmount> graded(const sheet::Row& row, StageId stage, double plants) {
  const sheet::StageCells& cells = row.cells(stage);
  std::vector<GradeAmount> out;
  if (cells.grades.empty()) return out;
  double sorted = 0;
  for (const sheet::CellId one : cells.picked) sorted += row.value(one);
  double rest = plants;
  for (std::size_t i = 0; i < cells.grades.size(); ++i) {
    const double share = sorted > 0 ? row.value(cells.grades[i]) / sorted : 0;
    out.push_back({&row.stage(stage).grades[i], plants * share});
    rest -= out.back().plants;
  }
  if (rest > half_a_plant) out.push_back({nullptr, rest});
  return out;
}

Portion portion_of(const sheet::Row& row, const WorkOrder& order, int number) {
  Portion out;
  out.stage = order.stage;
  out.number = number;
  out.date = order.date;
  const sheet::CellId cell = row.cells(order.stage).picked[static_cast<std::size_t>(number) - 1];
  out.plants = row.value(cell);
  out.counted = sheet::given(row.facts().counted, cell).has_value();
  out.grades = graded(row, order.stage, out.plants);
  return out;
}

}  // namespace

std::vector<Portion> portions_of(const Plan& plan, const BatchPlan& batch) {
  std::vector<Portion> out;
  if (!batch.dated) return out;
  const sheet::Row row = plan.row_of(batch);
  const std::uint32_t number = number_of(plan, batch);
  for (const StageId s : row.protocol().stages.ids()) {
    if (row.stage(s).picks.empty()) continue;
    // Orders are many: only those of its days are looked at, and what was done a little beside
    // them.
    constexpr Day beside = 31;
    const auto first =
        std::lower_bound(plan.orders.begin(), plan.orders.end(), row.start(s) - beside,
                         [](const WorkOrder& order, Day day) { return order.date < day; });
    for (auto order = first; order != plan.orders.end(); ++order) {
      if (order->date > row.end(s) + beside) break;
      if (order->batch != number || order->stage != s || order->part + 1 != order->parts) continue;
      const int picks = row.stage(s).works[order->work].picks;
      if (picks > 0 && order->state != OrderState::left_out) {
        out.push_back(portion_of(row, *order, picks));
      }
    }
  }
  return out;
}

double left_unpicked(const sheet::Row& row, StageId stage) {
  const sheet::StageCells& cells = row.cells(stage);
  if (cells.pick_shares.empty()) return 0;
  double share = 1;
  for (const sheet::CellId one : cells.pick_shares) share -= row.value(one);
  return std::max(0.0, share * row.value(cells.plants) * row.value(cells.survival));
}

std::string graded_text(const std::vector<GradeAmount>& grades) {
  std::string out;
  for (const GradeAmount& one : grades) {
    const std::string plants = units::format_number(std::round(one.plants));
    out += out.empty() ? "" : "; ";
    if (one.grade == nullptr) {
      out += plants + " in no grade, thrown out";
      continue;
    }
    const bool goes_on = one.grade->way == language::Grade::Way::goes_on;
    out +=
        one.grade->name + " " + plants + (goes_on ? "" : std::string(", ") + word(one.grade->way));
  }
  return out;
}

std::string graded_note(const Plan& plan, const WorkOrder& order) {
  const sheet::Row row = plan.row_of(plan.batches[order.batch]);
  const double plants = share_of(order, plants_at(row, order.stage, order.work));
  const std::string text = graded_text(graded(row, order.stage, plants));
  return text.empty() ? "" : "Expected: " + text + ".";
}

}  // namespace budwood::plan
