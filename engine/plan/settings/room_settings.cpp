#include "plan/settings/room_settings.hpp"

#include <algorithm>
#include <tuple>

#include "plan/plan.hpp"
#include "plan/rooms/climate_profile.hpp"
#include "plan/settings/changes.hpp"
#include "plan/settings/stage_settings.hpp"

namespace budwood::plan {

using calendar::Day;
using Settings = std::vector<DaySetting>;

namespace {

/// Stages of one climate that begin on one day in one place: they ask for the same every day.
struct KeptStay {
  Day start = 0;
  Day end = 0;  ///< the day after the last
  std::vector<StageOfBatch> whom;
  std::vector<Settings> by_day;

  const Settings& on(Day day) const {
    return by_day[std::min(static_cast<std::size_t>(day - start), by_day.size() - 1)];
  }
};

/// Where a stay is: room and zone, or the batch and stage whose place it is.
using PlaceKey = std::tuple<std::string, std::size_t, bool, StageOfBatch>;

bool is_of_cover(const DaySetting& setting) {
  return setting.name == language::facts_of(language::Measure::humidity).name ||
         setting.name == language::facts_of(language::Measure::vpd).name;
}

class Gatherer {
 public:
  Gatherer(const Plan& plan, const Zones& zones) : plan_(plan), zones_(zones) {}

  void add(const StageOfBatch& whom) {
    const sheet::Row row = plan_.row_of(plan_.batches[whom.batch]);
    const language::Stage& stage = row.stage(whom.stage);
    if (stage.settings.empty() && stage.mists.empty()) return;
    const auto zone = zones_.find(whom);
    const bool roomless = stage.room.empty();
    const PlaceKey room{stage.room, zone == zones_.end() ? 0 : zone->second, false,
                        roomless ? whom : StageOfBatch{}};
    const std::size_t profile = profiles_.find(row, whom.stage);
    put(room, whom, row, profile,
        [&](const DaySetting& one) { return !stage.under_cover || !is_of_cover(one); });
    if (!stage.under_cover) return;
    put({stage.room, 0, true, whom}, whom, row, profile, is_of_cover);
  }

  /// By place, then by start.
  std::map<PlaceKey, std::vector<KeptStay>> take() {
    std::map<PlaceKey, std::vector<KeptStay>> out;
    for (auto& [key, stay] : stays_) out[key.first].push_back(std::move(stay));
    return out;
  }

 private:
  template <class Wanted>
  void put(const PlaceKey& place, const StageOfBatch& whom, const sheet::Row& row,
           std::size_t profile, const Wanted& wanted) {
    const Day start = row.start(whom.stage);
    const auto [found, fresh] = stays_.try_emplace({place, std::pair(start, profile)});
    KeptStay& stay = found->second;
    stay.whom.push_back(whom);
    if (!fresh) return;
    const StageSettings settings(plan_.book->site, row, whom.stage);
    stay.start = start;
    stay.end = start + settings.days() + waiting_days(row, whom.stage);
    const auto add = [&](Settings day) {
      std::erase_if(day, [&](const DaySetting& one) { return !wanted(one); });
      stay.by_day.push_back(std::move(day));
    };
    for (int offset = 0; offset < settings.days(); ++offset) add(settings.set(offset));
    if (settings.held()) add(settings.while_held());
    if (stay.by_day.empty()) stays_.erase(found);
  }

  const Plan& plan_;
  const Zones& zones_;
  ClimateProfiles profiles_;
  std::map<std::pair<PlaceKey, std::pair<Day, std::size_t>>, KeptStay> stays_;
};

/// Those that stand there on a day, the most delicate first; of equals the one that came last.
std::vector<const KeptStay*> by_delicacy(const std::vector<const KeptStay*>& there, Day day) {
  std::vector<const KeptStay*> out;
  for (const KeptStay* one : there) {
    if (!one->on(day).empty()) out.push_back(one);
  }
  std::stable_sort(out.begin(), out.end(), [&](const KeptStay* a, const KeptStay* b) {
    if (more_delicate(a->on(day), b->on(day))) return true;
    if (more_delicate(b->on(day), a->on(day))) return false;
    return a->start > b->start;
  });
  return out;
}

SettingPeriod period_on(const std::vector<const KeptStay*>& there, Day day) {
  SettingPeriod out;
  out.from = day;
  std::vector<const Settings*> asked;
  for (const KeptStay* one : by_delicacy(there, day)) {
    asked.push_back(&one->on(day));
    out.whom.insert(out.whom.end(), one->whom.begin(), one->whom.end());
  }
  if (!asked.empty()) out.settings = brought_together(asked);
  return out;
}

std::vector<SettingPeriod> periods_of(const std::vector<KeptStay>& stays) {
  std::vector<SettingPeriod> out;
  std::vector<const KeptStay*> there;
  std::size_t next = 0;
  for (Day day = stays.front().start; next < stays.size() || !there.empty(); ++day) {
    if (there.empty() && next < stays.size()) day = std::max(day, stays[next].start);
    std::erase_if(there, [&](const KeptStay* one) { return one->end <= day; });
    for (; next < stays.size() && stays[next].start <= day; ++next) there.push_back(&stays[next]);
    SettingPeriod now = period_on(there, day);
    const bool goes_on =
        !out.empty() && out.back().whom == now.whom && same(out.back().settings, now.settings);
    if (!goes_on) out.push_back(std::move(now));
  }
  return out;
}

std::string zone_name(const book::Site& site, const std::string& room, std::size_t zone) {
  const book::Room* const found = site.find_room(room);
  if (found == nullptr || found->zones <= 1) return "";
  return zone < found->zone_names.size() ? found->zone_names[zone] : std::to_string(zone + 1);
}

}  // namespace

RoomSettings::RoomSettings(const Plan& plan, const Zones& zones) {
  Gatherer gatherer(plan, zones);
  for (std::uint32_t b = 0; b < plan.batches.size(); ++b) {
    const BatchPlan& batch = plan.batches[b];
    if (!batch.dated || !plan.facts_of(batch).lead) continue;
    for (const StageId s : plan.protocol_of(batch).stages.ids()) gatherer.add({b, s});
  }
  for (const auto& [key, stays] : gatherer.take()) {
    const auto& [room, zone, cover, own] = key;
    SettingPlace place{room, cover ? "" : zone_name(plan.book->site, room, zone), cover, own,
                       periods_of(stays)};
    for (const KeptStay& stay : stays) {
      for (const StageOfBatch& whom : stay.whom) places_of_[whom].push_back(places_.size());
    }
    places_.push_back(std::move(place));
  }
  add_companions(plan);
}

/// Cultivars that are raised together stand where the first of them does.
void RoomSettings::add_companions(const Plan& plan) {
  std::uint32_t lead = 0;
  for (std::uint32_t b = 0; b < plan.batches.size(); ++b) {
    if (plan.facts_of(plan.batches[b]).lead) {
      lead = b;
      continue;
    }
    for (const StageId s : plan.protocol_of(plan.batches[b]).stages.ids()) {
      const auto found = places_of_.find({lead, s});
      if (found != places_of_.end()) places_of_[{b, s}] = found->second;
    }
  }
}

std::vector<DaySetting> RoomSettings::given(const StageOfBatch& whom, Day day) const {
  std::vector<DaySetting> out;
  const auto found = places_of_.find(whom);
  if (found == places_of_.end()) return out;
  const bool covered = std::any_of(found->second.begin(), found->second.end(),
                                   [&](std::size_t place) { return places_[place].cover; });
  for (const std::size_t place : found->second) {
    const std::vector<SettingPeriod>& periods = places_[place].periods;
    const auto after =
        std::upper_bound(periods.begin(), periods.end(), day,
                         [](Day one, const SettingPeriod& period) { return one < period.from; });
    if (after == periods.begin()) continue;
    for (const DaySetting& one : std::prev(after)->settings) {
      if (!covered || places_[place].cover || !is_of_cover(one)) out.push_back(one);
    }
  }
  return out;
}

}  // namespace budwood::plan
