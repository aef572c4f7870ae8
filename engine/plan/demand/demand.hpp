/// How many plants to aim at where nobody knows how many will be wanted.
///
/// Both numbers are by chance: the plants that come through (`sheet::coming_of`) and those that are
/// wanted (`statistics::Demand`). What a batch costs on average against knowing both before is
/// worked out for numbers to aim at, each planned by the sheet itself as any batch: trays, spare
/// plants and how sure it has to be included. So the best number is one that can be written as
/// `plants`. It is looked for on a grid that closes in on the cheapest; the cost has one valley,
/// but for whole trays.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "plan/plan.hpp"
#include "statistics/demand/demand.hpp"

namespace budwood::plan {

/// What comes of a number that is aimed at.
struct DemandCase {
  std::int64_t plants = 0;  ///< aimed at
  /// How many are started, by the stage; plants that are put together from parts have several.
  std::vector<std::pair<language::StageId, double>> starts;
  double expected = 0;  ///< plants that come
  statistics::Met met;
  double cost = 0;  ///< money lost on average
};

struct DemandView {
  DemandCase planned;
  /// That which costs least on average, and the smallest with which all are there that are wanted
  /// in `sure` of all cases. None where plants were started, or no number is as sure.
  std::optional<DemandCase> best, sure;
  double asked = 0;  ///< how sure that is: as the batch says, else 90 %
};

/// Nothing for a batch that says nothing of its demand, or of which one cannot say what comes.
std::optional<DemandView> demand_of(const Plan& plan, const BatchPlan& batch);

/// A promise, and what is there for it.
struct PromiseKept {
  const book::Promise* promise = nullptr;
  double there = 0;                    ///< expected by that day, of what those before it leave
  std::optional<calendar::Day> whole;  ///< from when on all of it is there; none: never
  bool kept() const { return whole && *whole <= promise->on; }
};
/// By day; those of one day in the order written.
std::vector<PromiseKept> promises_of(const Plan& plan, const BatchPlan& batch);

/// Conflicts where promises are not kept, and warnings where a batch aims at what nobody wants.
void check_wanted(Plan& plan, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
