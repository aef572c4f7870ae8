#include "plan/demand/demand.hpp"

#include <algorithm>
#include <cmath>

#include "language/limits.hpp"
#include "plan/marks.hpp"
#include "plan/numbers.hpp"
#include "sheet/counts/prospects.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

namespace {

using statistics::Demand;

constexpr double usual_sure = 0.9;

/// Plans a batch with other numbers of plants.
class DemandSearch {
 public:
  DemandSearch(const Plan& plan, const BatchPlan& batch)
      : row_(plan.row_of(batch)),
        taken_(static_cast<std::int64_t>(batch.from_stock)),
        facts_(*plan.facts_of(batch).demand),
        demand_(*Demand::between(facts_.least.value, facts_.usual.value, facts_.most.value)) {}

  std::optional<DemandCase> planned(std::int64_t plants) const { return case_of(row_, plants); }

  /// The number that costs least; of several the smallest.
  std::optional<DemandCase> best() const {
    // Half as many again as can be wanted are enough as a rule; where hardly anything is known of
    // what comes through, more may be.
    std::int64_t high = facts_.most.value + facts_.most.value / 2 + 10;
    std::optional<DemandCase> out = best_up_to(high);
    for (; out && out->plants == high && high < largest_aim; out = best_up_to(high)) {
      high = std::min(2 * high, largest_aim);
    }
    return out;
  }

  /// The smallest number that is enough for what is wanted in so many cases.
  std::optional<DemandCase> sure(double share) const {
    std::int64_t low = 1;
    std::int64_t high = 2 * facts_.most.value + 10;
    std::optional<DemandCase> found;
    while (low <= high) {
      const std::int64_t step = std::max<std::int64_t>(1, (high - low) / grid);
      const auto all = cases(low, high, step);
      const auto enough = std::find_if(all.begin(), all.end(), [&](const DemandCase& one) {
        return one.met.enough >= share * (1 - 1e-12);
      });
      if (enough == all.end()) return found;
      found = *enough;
      if (step == 1) return found;
      low = std::max(low, found->plants - step + 1);
      high = found->plants - 1;
    }
    return found;
  }

 private:
  static constexpr std::int64_t grid = 8;
  static constexpr auto largest_aim = static_cast<std::int64_t>(language::limits::most_plants);

  std::optional<DemandCase> best_up_to(std::int64_t high) const {
    std::int64_t low = 1;
    std::optional<DemandCase> best;
    for (;;) {
      const std::int64_t step = std::max<std::int64_t>(1, (high - low) / grid);
      for (const DemandCase& one : cases(low, high, step)) {
        const bool better = !best || one.cost < best->cost - units::slack(one.cost, best->cost) ||
                            (one.cost <= best->cost && one.plants < best->plants);
        if (better) best = one;
      }
      if (!best || step == 1) return best;
      low = std::max(low, best->plants - step);
      high = std::min(high, best->plants + step);
    }
  }

  std::optional<DemandCase> case_of(const sheet::Row& row, std::int64_t plants) const {
    auto coming = sheet::coming_of(row);
    if (!coming) return std::nullopt;
    coming->there += taken_;
    DemandCase out;
    out.plants = plants;
    for (const sheet::Chain& chain : row.layout().chains) {
      const language::StageId first = chain.stages.front();
      if (!row.stage(first).takes.empty()) continue;
      out.starts.emplace_back(first, row.value(row.cells(first).plants));
    }
    constexpr double hardly_ever = 1e-12;
    out.expected = coming->mean();
    const statistics::Reach reach{coming->quantile(hardly_ever), coming->quantile(1 - hardly_ever)};
    out.met = statistics::met(demand_, out.expected, reach,
                              [&](std::int64_t m) { return coming->at_least(m); });
    out.cost = out.met.cost(facts_.too_many.quantity.value, facts_.too_few.quantity.value);
    return out;
  }

  std::vector<DemandCase> cases(std::int64_t low, std::int64_t high, std::int64_t step) const {
    sheet::Sheet rows(row_.sheet().shared_layout(), row_.sheet().site());
    std::vector<std::int64_t> aims;
    for (std::int64_t plants = low; plants <= high; plants += step) {
      sheet::BatchFacts facts = row_.facts();
      facts.plants = static_cast<double>(std::max<std::int64_t>(0, plants - taken_));
      rows.add(std::move(facts));
      aims.push_back(plants);
    }
    rows.evaluate();
    std::vector<DemandCase> out;
    for (std::size_t i = 0; i < aims.size(); ++i) {
      if (auto one = case_of(sheet::Row(rows, i), aims[i])) out.push_back(std::move(*one));
    }
    return out;
  }

  const sheet::Row row_;
  const std::int64_t taken_;  ///< of what is ready already: fewer are raised, as many are there
  const book::Demand& facts_;
  const Demand demand_;
};

}  // namespace

std::optional<DemandView> demand_of(const Plan& plan, const BatchPlan& batch) {
  const book::Batch& facts = plan.facts_of(batch);
  if (!facts.demand || !batch.dated || facts.stopped) return std::nullopt;
  const DemandSearch search(plan, batch);
  auto planned = search.planned(facts.plants.value);
  if (!planned) return std::nullopt;
  DemandView out{std::move(*planned), std::nullopt, std::nullopt,
                 facts.sure ? facts.sure->value : usual_sure};
  if (is_begun(plan.row_of(batch))) return out;
  out.best = search.best();
  out.sure = search.sure(out.asked);
  // Where several numbers come to the same, because trays are filled, the planned one stays.
  const auto same = [&](const std::optional<DemandCase>& one) {
    return one && one->starts == out.planned.starts;
  };
  if (same(out.best)) out.best = out.planned;
  if (same(out.sure)) out.sure = out.planned;
  return out;
}

}  // namespace budwood::plan
