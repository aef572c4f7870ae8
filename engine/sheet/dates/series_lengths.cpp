#include "sheet/dates/series_lengths.hpp"

#include <algorithm>
#include <cmath>

#include "units/units.hpp"

namespace budwood::sheet {

namespace {

using language::Stage;

/// Stands for a limit that is not there; it sorts and compares, which a NaN does not.
constexpr double absent = -1;

bool is_heat(const Stage& stage) {
  return stage.heat.has_value();
}

bool has_gap(const std::array<double, 7>& key) {
  return std::any_of(key.begin(), key.end(), [](double x) { return std::isnan(x); });
}

}  // namespace

SeriesLengths::Key SeriesLengths::key_of(std::int32_t stage, CellId cell, const Columns& columns,
                                         std::size_t row) const {
  const Stage& written = t_.protocol.stages[static_cast<std::size_t>(stage)];
  const StageCells& cells = t_.stages[static_cast<std::size_t>(stage)];
  const auto value = [&](CellId id) { return id == no_cell ? absent : columns.at(id, row); };
  const double amount = value(cell);
  const bool heat = is_heat(written);
  return {static_cast<double>(stage),
          value(cells.series_lower),
          value(cells.series_best),
          value(cells.series_upper),
          heat ? amount : value(cells.series_target),
          heat ? 0 : amount,
          heat ? absent : value(cells.gate_limit)};
}

bool SeriesLengths::has_values(std::int32_t stage, CellId cell, const Columns& columns,
                               std::size_t row) const {
  return !has_gap(key_of(stage, cell, columns, row));
}

const SeriesLength* SeriesLengths::find(std::int32_t stage, CellId cell, const Columns& columns,
                                        std::size_t row) {
  const Key key = key_of(stage, cell, columns, row);
  if (!site_.series || has_gap(key)) return nullptr;
  const auto [place, fresh] = lengths_.try_emplace(key);
  if (fresh) place->second = make(t_.protocol.stages[static_cast<std::size_t>(stage)], key);
  return place->second.get();
}

std::optional<climate::Accumulation> SeriesLengths::sums(const Stage& stage, const Key& key) const {
  const auto& [number, lower, best, upper, target, at_least, at_most] = key;
  if (is_heat(stage)) {
    climate::HeatLimits limits{lower, std::nullopt};
    if (upper != absent) limits.upper = upper;
    const auto method = climate::find_degree_day_method(stage.heat->method);
    if (!method) return std::nullopt;
    return climate::Accumulation::of_heat(*site_.series, limits, *method);
  }
  const auto method = climate::find_chill_method(stage.gate->method);
  if (!method) return std::nullopt;
  return climate::Accumulation::of_chilling(*site_.series, {*method, lower, upper, best});
}

std::unique_ptr<SeriesLength> SeriesLengths::make(const Stage& stage, const Key& key) const {
  const auto& [number, lower, best, upper, target, at_least, at_most] = key;
  const auto sum = sums(stage, key);
  if (!sum) return nullptr;
  // Hours and days are a time in the sheet and a count of hours in the sums.
  const bool hours = !is_heat(stage) && stage.gate->upper != language::no_formula;
  std::optional<int> most;
  if (at_most != absent) most = static_cast<int>(at_most);
  auto length = SeriesLength::make(*sum, hours ? target / units::seconds_an_hour : target,
                                   static_cast<int>(at_least), most);
  return length ? std::make_unique<SeriesLength>(std::move(*length)) : nullptr;
}

}  // namespace budwood::sheet
