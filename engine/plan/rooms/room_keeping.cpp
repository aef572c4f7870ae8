#include "plan/rooms/room_keeping.hpp"

#include <cmath>

#include "plan/plan.hpp"

namespace budwood::plan {

using calendar::Day;
using language::Half;

namespace {

std::vector<ColumnSet> kept_in(const ClimateProfile& profile) {
  std::vector<ColumnSet> out(static_cast<std::size_t>(profile.days));
  for (const ClimateProfile::Column& column : profile.columns) {
    for (std::size_t i = 0; i < out.size(); ++i) {
      if (!std::isnan(column.bands[i].low)) out[i] |= ColumnSet{1} << column.number;
    }
  }
  return out;
}

}  // namespace

ColumnSet columns_of(const std::string& setting, Half half) {
  ColumnSet out = 0;
  for (std::size_t i = 0; i < climate_columns().size(); ++i) {
    const ClimateColumn& column = climate_columns()[i];
    const bool is_mist = column.measure == language::Measure::mist_time;
    const std::string& name = language::facts_of(column.measure).name;
    const bool same_half = half == Half::both || column.half == Half::both || column.half == half;
    if ((is_mist ? setting == "mist" : setting == name) && same_half) out |= ColumnSet{1} << i;
  }
  return out;
}

RoomKeeping::RoomKeeping(const Plan& plan) {
  ClimateProfiles profiles;
  std::map<std::size_t, std::vector<ColumnSet>> kept;  // by profile
  for (const BatchPlan& batch : plan.batches) {
    if (!batch.dated || !plan.facts_of(batch).lead) continue;
    const sheet::Row row = plan.row_of(batch);
    for (const language::StageId s : row.protocol().stages.ids()) {
      const language::Stage& stage = row.stage(s);
      if (stage.settings.empty() && stage.mists.empty()) continue;
      const std::size_t profile = profiles.find(row, s);
      const auto [place, fresh] = kept.try_emplace(profile);
      if (fresh) place->second = kept_in(profiles[profile]);
      add(rooms_[stage.room], row.start(s), place->second);
    }
  }
}

void RoomKeeping::add(Days& days, Day start, const std::vector<ColumnSet>& stay) {
  if (days.kept.empty()) days.first = start;
  if (start < days.first) {
    days.kept.insert(days.kept.begin(), static_cast<std::size_t>(days.first - start), 0);
    days.first = start;
  }
  const auto offset = static_cast<std::size_t>(start - days.first);
  if (days.kept.size() < offset + stay.size()) days.kept.resize(offset + stay.size());
  for (std::size_t i = 0; i < stay.size(); ++i) days.kept[offset + i] |= stay[i];
}

ColumnSet RoomKeeping::on(const std::string& room, Day day) const {
  const auto found = rooms_.find(room);
  if (found == rooms_.end() || day < found->second.first) return 0;
  const auto offset = static_cast<std::size_t>(day - found->second.first);
  return offset < found->second.kept.size() ? found->second.kept[offset] : 0;
}

}  // namespace budwood::plan
