#include "plan/needs/energy.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "climate/heating.hpp"
#include "plan/rooms/room_places.hpp"
#include "plan/settings/lamp_light.hpp"

namespace budwood::plan {

using calendar::Day;
using language::Bound;
using language::Half;

namespace {

/// What air is heated to in a half of the day; no value when nobody asks for warmth.
double kept_air(const std::vector<DaySetting>& settings, Half half) {
  const std::string& air = language::facts_of(language::Measure::air).name;
  for (const DaySetting& one : settings) {
    if (one.name != air || (one.half != Half::both && one.half != half)) continue;
    return one.bound == Bound::at_most ? sheet::no_value : one.low;
  }
  return sheet::no_value;
}

/// By how much each of those who stand in a place has a part in it.
class Shares {
 public:
  explicit Shares(const Plan& plan) : plan_(plan) {
    const RoomPlaces places(plan);
    for (std::uint32_t b = 0; b < plan.batches.size(); ++b) {
      if (!plan.batches[b].dated) continue;
      for (const Stay& stay : places.stays_of(b)) stays_[{b, stay.stage}].push_back(stay);
    }
  }

  /// Sums up to 1. Cultivars that are raised together have a part each.
  std::vector<std::pair<StageOfBatch, double>> of(const std::vector<StageOfBatch>& whom,
                                                  Day day) const {
    std::vector<StageOfBatch> all;
    for (const StageOfBatch& one : whom) {
      std::uint32_t batch = one.batch;
      do {
        all.push_back({batch, one.stage});
      } while (++batch < plan_.batches.size() && !plan_.facts_of(plan_.batches[batch]).lead);
    }
    const bool counted = std::all_of(all.begin(), all.end(),
                                     [&](const StageOfBatch& one) { return space(one, day) > 0; });
    std::vector<std::pair<StageOfBatch, double>> out;
    double sum = 0;
    for (const StageOfBatch& one : all) {
      out.emplace_back(one, counted ? space(one, day) : plants(one));
      sum += out.back().second;
    }
    for (auto& [one, share] : out) {
      share = sum > 0 ? share / sum : 1.0 / static_cast<double>(out.size());
    }
    return out;
  }

 private:
  /// 0 where it is not known.
  double space(const StageOfBatch& one, Day day) const {
    const auto found = stays_.find(one);
    if (found == stays_.end()) return 0;
    for (const Stay& stay : found->second) {
      if (stay.counted && stay.first <= day && day < stay.left) return stay.amount;
    }
    return 0;
  }

  double plants(const StageOfBatch& one) const {
    const sheet::Row row = plan_.row_of(plan_.batches[one.batch]);
    const double count = row.value(row.cells(one.stage).plants, 0);
    return std::isfinite(count) ? count : 0;
  }

  const Plan& plan_;
  std::map<StageOfBatch, std::vector<Stay>> stays_;
};

/// Goes through the days of every place.
class Counter {
 public:
  explicit Counter(const Plan& plan) : plan_(plan), site_(plan.book->site), shares_(plan) {}

  PlanEnergy run() && {
    for (const SettingPlace& place : plan_.settings.places()) {
      const book::Room* const room = site_.find_room(place.room);
      const bool told = room != nullptr && (room->heat_loss || room->lamps);
      if (told && !place.cover) add(place, *room);
    }
    for (const auto& [whom, use] : stages_) out_.stages.push_back({whom, use});
    return std::move(out_);
  }

 private:
  void add(const SettingPlace& place, const book::Room& room) {
    RoomEnergy here{place.room, place.zone, 0, {}};
    for (std::size_t i = 0; i + 1 < place.periods.size(); ++i) {
      const SettingPeriod& period = place.periods[i];
      if (period.whom.empty()) continue;
      for (Day day = period.from; day < place.periods[i + 1].from; ++day) {
        add_day(place, room, period, day, here);
      }
    }
    if (here.use.total() > 0 || here.lamp_seconds > 0) out_.rooms.push_back(std::move(here));
  }

  void add_day(const SettingPlace& place, const book::Room& room, const SettingPeriod& period,
               Day day, RoomEnergy& here) {
    const double part = 1.0 / room.zones;
    EnergyUse use;
    if (const auto lamps = lamp_day(site_, place.room, period.settings, day)) {
      if (lamps->seconds > 0) here.lamp_seconds += lamps->seconds;
      const auto area = site_.area_of(place.room);
      if (area && lamps->energy > 0) use.lamps = lamps->energy * *area * part;
    }
    const auto outdoors = site_.climate == nullptr ? std::nullopt : site_.climate->on(day);
    if (room.heat_loss && outdoors) {
      use.heat = climate::heating(kept_air(period.settings, Half::day),
                                  kept_air(period.settings, Half::night), *outdoors) *
                 room.heat_loss->value * part;
    }
    if (!(use.total() > 0)) return;
    here.use.lamps += use.lamps;
    here.use.heat += use.heat;
    for (const auto& [whom, share] : shares_.of(period.whom, day)) {
      EnergyUse& one = stages_[whom];
      one.lamps += use.lamps * share;
      one.heat += use.heat * share;
    }
  }

  const Plan& plan_;
  const book::Site& site_;
  Shares shares_;
  std::map<StageOfBatch, EnergyUse> stages_;
  PlanEnergy out_;
};

}  // namespace

EnergyUse PlanEnergy::total() const {
  EnergyUse out;
  for (const RoomEnergy& one : rooms) {
    out.lamps += one.use.lamps;
    out.heat += one.use.heat;
  }
  return out;
}

PlanEnergy energy_of(const Plan& plan) {
  const auto& rooms = plan.book->site.rooms;
  const bool told = std::any_of(rooms.begin(), rooms.end(), [](const auto& one) {
    return one.second.heat_loss || one.second.lamps;
  });
  return told ? Counter(plan).run() : PlanEnergy{};
}

}  // namespace budwood::plan
