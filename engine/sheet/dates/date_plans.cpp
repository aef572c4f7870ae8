#include "sheet/dates/date_plans.hpp"

#include <algorithm>
#include <bit>
#include <boost/container_hash/hash.hpp>

namespace budwood::sheet {

namespace {

/// More different plans than this are not kept: they would be batches that share nothing.
constexpr std::size_t most_kept = 50'000;

constexpr std::uint64_t no_day = UINT64_MAX;

std::uint64_t bits_of(const std::optional<Day>& day) {
  return day ? static_cast<std::uint64_t>(*day) : no_day;
}

}  // namespace

std::size_t DatePlans::Hash::operator()(std::span<const std::uint64_t> key) const {
  return boost::hash_range(key.begin(), key.end());
}

bool DatePlans::Equal::operator()(std::span<const std::uint64_t> a,
                                  std::span<const std::uint64_t> b) const {
  return std::equal(a.begin(), a.end(), b.begin(), b.end());
}

DatePlans::DatePlans(const Template& t, const Site& site, const Columns& same)
    : t_(t), planner_(t, site) {
  for (CellId id = 0; id < t.cells.size(); ++id) {
    if (t.cell(id).bounds_dates && !same.is_same(id)) varying_.push_back(id);
  }
}

const PlannedDates& DatePlans::plan(const BatchFacts& batch, const Columns& columns,
                                    std::size_t row) {
  // Pinned batches are few, and hardly two of them alike.
  if (batch.pins.empty()) {
    set_key(batch, columns, row);
    if (const auto found = kept_.find(std::span<const std::uint64_t>(key_)); found != kept_.end()) {
      return found->second;
    }
    if (kept_.size() < most_kept) {
      return kept_.emplace(key_, work_out(batch, columns, row)).first->second;
    }
  }
  own_ = work_out(batch, columns, row);
  return own_;
}

void DatePlans::set_key(const BatchFacts& batch, const Columns& columns, std::size_t row) {
  key_.clear();
  key_.push_back(bits_of(batch.ready));
  key_.push_back(bits_of(batch.start));
  key_.push_back(bits_of(batch.not_before));
  key_.push_back(bits_of(batch.today));
  for (const CellId id : varying_)
    key_.push_back(std::bit_cast<std::uint64_t>(columns.at(id, row)));
}

PlannedDates DatePlans::work_out(const BatchFacts& batch, const Columns& columns, std::size_t row) {
  PlannedDates out;
  if (!planner_.plan(batch, columns, row)) {
    if (planner_.conflict()) {
      out.conflict = std::make_shared<const DateConflict>(*planner_.conflict());
    }
    return out;
  }
  if (!planner_.deviations().empty()) {
    out.deviations = std::make_shared<const std::vector<Deviation>>(planner_.deviations());
  }
  out.values.reserve(t_.dates.cells.size());
  for (const StageDates& stage : planner_.stages()) {
    for (const int day : {stage.start, stage.end, stage.earliest, stage.latest, stage.float_days}) {
      out.values.push_back(day);
    }
  }
  out.values.push_back(planner_.ready());
  return out;
}

}  // namespace budwood::sheet
