/// Plans of dates, kept by what they rest on: the date that the batch sets and the lengths that
/// batches can change. Batches of a season mostly share both, so ten thousand of them have some
/// hundred plans.
#pragma once

#include <memory>
#include <span>
#include <unordered_map>

#include "sheet/dates/dates.hpp"

namespace budwood::sheet {

/// What a batch's dates came to: the values of `DateLayout::cells`, in their order. No values when
/// it has no plan.
struct PlannedDates {
  std::vector<double> values;
  std::shared_ptr<const DateConflict> conflict;  ///< why it has no plan, when its dates contradict
  std::shared_ptr<const std::vector<Deviation>> deviations;  ///< none: it keeps everything
};

/// The dates of the batches of a sheet. Batches of a season mostly share their dates of delivery
/// and their lengths, so plans are kept and found again by what they rest on.
class DatePlans {
 public:
  /// `same` are the columns in which cells that no batch can change have their one value.
  DatePlans(const Template& t, const Site& site, const Columns& same);

  /// Stays until the next call.
  const PlannedDates& plan(const BatchFacts& batch, const Columns& columns, std::size_t row);

 private:
  using Key = std::vector<std::uint64_t>;
  struct Hash {
    using is_transparent = void;
    std::size_t operator()(std::span<const std::uint64_t> key) const;
  };
  struct Equal {
    using is_transparent = void;
    bool operator()(std::span<const std::uint64_t> a, std::span<const std::uint64_t> b) const;
  };

  void set_key(const BatchFacts& batch, const Columns& columns, std::size_t row);
  PlannedDates work_out(const BatchFacts& batch, const Columns& columns, std::size_t row);

  const Template& t_;
  DatePlanner planner_;
  std::vector<CellId> varying_;  ///< what dates rest on and batches can change
  Key key_;
  std::unordered_map<Key, PlannedDates, Hash, Equal> kept_;
  PlannedDates own_;  ///< of a batch whose plan is not kept
};

}  // namespace budwood::sheet
