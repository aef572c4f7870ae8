/// Lengths by temperature are functions of the start that never end earlier for a later one, so
/// the latest plan stays unique. A check without a site knows no temperatures: such lengths are
/// then free, from nothing to four years, so that only contradictions that hold at every site
/// are reported. The heat of a stage comes from the air it keeps, or its root zone, because a
/// protocol cannot know the rooms of a site; where it keeps none, from the site's temperatures.
#pragma once

#include <array>
#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "sheet/dates/series_length.hpp"
#include "sheet/site/site.hpp"

namespace budwood::sheet {

/// Stands for a length that follows a site's temperatures where one number of days is wanted.
inline constexpr int nominal_series_days = 30;
/// How far around its dates a plan is looked for, for each such length in it.
inline constexpr int longest_series_days = 4 * 366;

/// The lengths of stages that follow the temperatures of a site, made when they are first asked for
/// and kept: batches mostly share them.
class SeriesLengths {
 public:
  SeriesLengths(const Template& t, const Site& site) : t_(t), site_(site) {}

  /// The length of a stage when `cell` (its shortest, usual or longest) says how much it takes.
  /// Nothing when the site has no temperatures or a value is missing.
  const SeriesLength* find(std::int32_t stage, CellId cell, const Columns& columns,
                           std::size_t row);
  /// Whether all values are there that `find` asks for; then, if it finds nothing all the same, the
  /// temperatures never bring what the stage wants.
  bool has_values(std::int32_t stage, CellId cell, const Columns& columns, std::size_t row) const;

 private:
  /// Stage, lower, best and upper temperature, target, days at least and at most.
  using Key = std::array<double, 7>;

  Key key_of(std::int32_t stage, CellId cell, const Columns& columns, std::size_t row) const;
  std::optional<climate::Accumulation> sums(const language::Stage& stage, const Key& key) const;
  std::unique_ptr<SeriesLength> make(const language::Stage& stage, const Key& key) const;

  const Template& t_;
  const Site& site_;
  std::map<Key, std::unique_ptr<SeriesLength>> lengths_;
};

}  // namespace budwood::sheet
