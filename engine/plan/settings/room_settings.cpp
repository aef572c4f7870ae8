#include "plan/settings/room_settings.hpp"

#include <algorithm>
#include <tuple>

#include "plan/plan.hpp"
#include "plan/rooms/climate_profile.hpp"
#include "plan/settings/changes.hpp"
#include "plan/settings/stage_settings.hpp"
#include "threads/threads.hpp"

namespace budwood::plan {

using calendar::Day;
using Settings = std::vector<DaySetting>;

namespace {

/// Stages of one climate that begin on one day in one place: they ask for the same every day.
struct KeptStay {
  Day start = 0;
  Day end = 0;  ///< the day after the last
  std::vector<StageOfBatch> whom;
  struct Asked {
    Settings settings;
    Delicacy delicacy;
  };
  std::vector<Asked> by_day;

  const Asked& on(Day day) const {
    return by_day[std::min(static_cast<std::size_t>(day - start), by_day.size() - 1)];
  }
};

/// Where a stay is: room and zone, or the batch and stage whose place it is.
using PlaceKey = std::tuple<std::string, std::size_t, bool, StageOfBatch>;

bool is_of_cover(const DaySetting& setting) {
  return setting.name == language::facts_of(language::Measure::humidity).name ||
         setting.name == language::facts_of(language::Measure::vpd).name;
}

/// Who stands where.
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
    const std::pair alike(row.start(whom.stage), profiles_.find(row, whom.stage));
    places_[room][alike].push_back(whom);
    if (stage.under_cover) places_[{stage.room, 0, true, whom}][alike].push_back(whom);
    ++stays_;
  }

  /// Those that ask for the same every day, by start.
  using Alike = std::map<std::pair<Day, std::size_t>, std::vector<StageOfBatch>>;
  const std::map<PlaceKey, Alike>& places() const { return places_; }
  std::size_t stays() const { return stays_; }

 private:
  const Plan& plan_;
  const Zones& zones_;
  ClimateProfiles profiles_;
  std::map<PlaceKey, Alike> places_;
  std::size_t stays_ = 0;
};

/// What those ask for of the air of the room, or of that below the cover.
KeptStay kept_stay(const Plan& plan, bool cover, std::vector<StageOfBatch> whom) {
  const StageId s = whom.front().stage;
  const sheet::Row row = plan.row_of(plan.batches[whom.front().batch]);
  const bool in_room_of_cover = row.stage(s).under_cover && !cover;
  const StageSettings settings(plan.book->site, row, s);
  KeptStay out;
  out.start = row.start(s);
  out.end = out.start + settings.days() + waiting_days(row, s);
  out.whom = std::move(whom);
  const auto add = [&](Settings day) {
    std::erase_if(day, [&](const DaySetting& one) {
      return (cover && !is_of_cover(one)) || (in_room_of_cover && is_of_cover(one));
    });
    const Delicacy delicacy = delicacy_of(day);
    out.by_day.push_back({std::move(day), delicacy});
  };
  for (int offset = 0; offset < settings.days(); ++offset) add(settings.set(offset));
  if (settings.held()) add(settings.while_held());
  return out;
}

/// Those that stand there on a day, the most delicate first; of equals the one that came last.
std::vector<const KeptStay*> by_delicacy(const std::vector<const KeptStay*>& there, Day day) {
  std::vector<const KeptStay*> out;
  for (const KeptStay* one : there) {
    if (!one->on(day).settings.empty()) out.push_back(one);
  }
  std::stable_sort(out.begin(), out.end(), [&](const KeptStay* a, const KeptStay* b) {
    const Delicacy &one = a->on(day).delicacy, &other = b->on(day).delicacy;
    if (one.more_than(other)) return true;
    if (other.more_than(one)) return false;
    return a->start > b->start;
  });
  return out;
}

SettingPeriod period_on(const std::vector<const KeptStay*>& there, Day day) {
  SettingPeriod out;
  out.from = day;
  std::vector<const Settings*> asked;
  for (const KeptStay* one : by_delicacy(there, day)) {
    asked.push_back(&one->on(day).settings);
    out.whom.insert(out.whom.end(), one->whom.begin(), one->whom.end());
  }
  if (!asked.empty()) out.settings = brought_together(asked);
  return out;
}

/// `stays`: by start; there is one at least.
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

namespace {

/// A place with all that ever stand there; without periods where all are over as they begin.
struct FilledPlace {
  SettingPlace place;
  std::vector<StageOfBatch> whom;
};

FilledPlace filled_place(const Plan& plan, const PlaceKey& key, const Gatherer::Alike& there) {
  const auto& [room, zone, cover, own] = key;
  FilledPlace out;
  std::vector<KeptStay> stays;
  for (const auto& [start, whom] : there) {
    KeptStay stay = kept_stay(plan, cover, whom);
    if (stay.by_day.empty()) continue;
    out.whom.insert(out.whom.end(), stay.whom.begin(), stay.whom.end());
    stays.push_back(std::move(stay));
  }
  if (stays.empty()) return out;
  out.place = {room, cover ? "" : zone_name(plan.book->site, room, zone), cover, own,
               periods_of(stays)};
  return out;
}

}  // namespace

RoomSettings::RoomSettings(const Plan& plan, const Zones& zones) {
  Gatherer gatherer(plan, zones);
  for (std::uint32_t b = 0; b < plan.batches.size(); ++b) {
    const BatchPlan& batch = plan.batches[b];
    if (!batch.dated || !plan.facts_of(batch).lead) continue;
    for (const StageId s : plan.protocol_of(batch).stages.ids()) gatherer.add({b, s});
  }
  // Places have nothing to do with each other. So few stays are not worth a thread.
  constexpr std::size_t few = 1000;
  std::vector<std::pair<const PlaceKey*, const Gatherer::Alike*>> all;
  for (const auto& [key, there] : gatherer.places()) all.emplace_back(&key, &there);
  std::vector<FilledPlace> filled(all.size());
  threads::each_piece(
      all.size(),
      [&](std::size_t i) { filled[i] = filled_place(plan, *all[i].first, *all[i].second); },
      gatherer.stays() < few ? 1 : threads::at_once());
  for (FilledPlace& one : filled) {
    if (one.whom.empty()) continue;
    for (const StageOfBatch& whom : one.whom) stands_.push_back({whom, places_.size()});
    places_.push_back(std::move(one.place));
  }
  std::sort(stands_.begin(), stands_.end());
  add_companions(plan);
}

/// Cultivars that are raised together stand where the first of them does.
void RoomSettings::add_companions(const Plan& plan) {
  std::vector<Stand> theirs;
  std::uint32_t lead = 0;
  for (std::uint32_t b = 0; b < plan.batches.size(); ++b) {
    if (plan.facts_of(plan.batches[b]).lead) {
      lead = b;
      continue;
    }
    for (const StageId s : plan.protocol_of(plan.batches[b]).stages.ids()) {
      for (const Stand& one : stands_of({lead, s})) theirs.push_back({{b, s}, one.place});
    }
  }
  stands_.insert(stands_.end(), theirs.begin(), theirs.end());
  std::sort(stands_.begin(), stands_.end());
}

std::span<const RoomSettings::Stand> RoomSettings::stands_of(const StageOfBatch& whom) const {
  const auto first = std::lower_bound(stands_.begin(), stands_.end(), Stand{whom, 0});
  const auto end =
      std::find_if(first, stands_.end(), [&](const Stand& one) { return one.whom != whom; });
  return {first, end};
}

std::vector<DaySetting> RoomSettings::given(const StageOfBatch& whom, Day day) const {
  std::vector<DaySetting> out;
  const std::span<const Stand> stands = stands_of(whom);
  const bool covered = std::any_of(stands.begin(), stands.end(),
                                   [&](const Stand& one) { return places_[one.place].cover; });
  for (const auto& [who, place] : stands) {
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
