/// What comes of a batch, with the chances of its losses. Exact over the whole protocol: each chain
/// thins what comes into it, a join takes the smallest of its parts (statistics::Counts). Stages
/// are taken to be independent. What comes through beyond what a plan counts on goes on as well.
#pragma once

#include <cstdint>
#include <optional>

#include "sheet/columns/given.hpp"
#include "sheet/row.hpp"
#include "statistics/statistics.hpp"

namespace budwood::sheet {

struct Prospects {
  double expected = 0;    ///< what the plan counts on: the plants left of its last stage
  std::int64_t low = 0;   ///< fewer come in 5 of 100 cases
  std::int64_t high = 0;  ///< more come in 5 of 100 cases
  double chance = 0;      ///< that the number ordered is reached
  /// Plants go two ways in the protocol: then `chance` is the least that it can be, and `low` and
  /// `high` are not known.
  bool bound = false;
};

/// Nothing when a count has no value.
std::optional<Prospects> prospects(const Row& row);
/// What comes of a batch, as a number by chance.
struct Coming {
  statistics::Counts coming;
  std::int64_t there = 0;  ///< besides, and sure

  double at_least(std::int64_t m) const { return m <= there ? 1 : coming.at_least(m - there); }
  std::int64_t quantile(double share) const { return there + coming.quantile(share).value_or(0); }
  double mean() const { return static_cast<double>(there) + coming.mean(); }
};
/// Nothing when a count has no value, or plants go two ways in the protocol.
std::optional<Coming> coming_of(const Row& row);
/// The chance alone, of values that need not belong to a sheet; what was counted by `left` cell.
std::optional<double> chance(const Template& t, const Columns& columns, std::size_t row,
                             const GivenValues& counted);

/// What comes through one stage, before it is picked and sorted. Nothing when it has no value.
std::optional<statistics::Rate> survival_of(const Columns& columns, std::size_t row,
                                            const StageCells& cells);
/// What comes through the stages from place `first` of a chain. Nothing when a loss has no value.
std::optional<statistics::Rate> chain_rate(const Template& t, const Columns& columns,
                                           std::size_t row, const Chain& chain,
                                           std::size_t first = 0);
/// Whether some plants are lost on the way.
bool loses(const Template& t, const Chain& chain);

}  // namespace budwood::sheet
