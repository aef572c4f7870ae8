#include "plan/orders/setting_orders.hpp"

#include <algorithm>
#include <tuple>

#include "plan/orders/order.hpp"
#include "plan/orders/settings.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/room_keeping.hpp"

namespace budwood::plan {

using language::Half;

namespace {

constexpr const char* mist_name = "mist";
/// Nobody switches anything off: the room may go on as it is.
constexpr const char* asked_no_more = "not asked for any more";

using Settings = std::vector<DaySetting>;

bool is_mist(const DaySetting& setting) {
  return setting.name == mist_name;
}

/// What a setting is in one half of the day; "" when it is not set.
std::string value_in(const Settings& settings, const std::string& name, Half half) {
  for (const DaySetting& one : settings) {
    if (one.name == name && (one.half == Half::both || one.half == half)) return one.value;
  }
  return "";
}

/// The halves of the day in which `setting` differs from what stands in `others`; nothing when in
/// none. With `missing_only` it differs where nothing stands in `others`.
std::optional<Half> halves_changed(const DaySetting& setting, const Settings& others,
                                   bool missing_only) {
  const auto differs = [&](Half half) {
    if (setting.half != Half::both && setting.half != half) return false;
    const std::string other = value_in(others, setting.name, half);
    return missing_only ? other.empty() : other != setting.value;
  };
  const bool by_day = differs(Half::day);
  const bool by_night = differs(Half::night);
  if (!by_day && !by_night) return std::nullopt;
  return by_day && by_night ? Half::both : by_day ? Half::day : Half::night;
}

/// Several programmes can run at a time, so they are told together.
void add_mist_changes(const Settings& before, const Settings& now, bool ends, Settings& changes) {
  const auto values = [](const Settings& settings) {
    std::vector<std::string> out;
    for (const DaySetting& one : settings) {
      if (is_mist(one)) out.push_back(one.value);
    }
    return out;
  };
  if (values(before) == values(now)) return;
  if (values(now).empty() && ends) changes.push_back({mist_name, Half::both, "off"});
  for (const DaySetting& one : now) {
    if (is_mist(one)) changes.push_back(one);
  }
}

/// Of the halves of the day in which a setting ends those in which nobody else keeps it.
std::optional<Half> halves_ended(const DaySetting& setting, Half half, ColumnSet kept_by_others) {
  const auto ends = [&](Half one) {
    return (half == Half::both || half == one) &&
           (columns_of(setting.name, one) & kept_by_others) == 0;
  };
  const bool by_day = ends(Half::day);
  const bool by_night = ends(Half::night);
  if (!by_day && !by_night) return std::nullopt;
  return by_day && by_night ? Half::both : by_day ? Half::day : Half::night;
}

Settings changes_between(const Settings& before, const Settings& now, ColumnSet kept_by_others) {
  Settings changes;
  for (const DaySetting& one : now) {
    if (is_mist(one)) continue;
    if (const auto half = halves_changed(one, before, false)) {
      changes.push_back({one.name, *half, one.value});
    }
  }
  for (const DaySetting& one : before) {
    if (is_mist(one)) continue;
    const auto half = halves_changed(one, now, true);
    if (!half) continue;
    if (const auto ended = halves_ended(one, *half, kept_by_others)) {
      changes.push_back({one.name, *ended, asked_no_more});
    }
  }
  const bool mist_ends = (columns_of(mist_name, Half::both) & kept_by_others) == 0;
  add_mist_changes(before, now, mist_ends, changes);
  return changes;
}

Settings settings_of_last_day(const sheet::Row& row, StageId stage) {
  return settings_on(row, stage, row.climate(stage).days() - 1);
}

/// What stands when a stage begins: the last settings of the stage before when the plants stay in
/// their room, else nothing.
Settings settings_before(const sheet::Row& row, StageId stage) {
  const language::Stage& here = row.stage(stage);
  for (const StageId before : here.takes) {
    if (here.room.empty() || row.stage(before).room != here.room) continue;
    return settings_of_last_day(row, before);
  }
  return {};
}

/// What differs on the day of an order from what stood before it.
Settings changes_of(const Plan& plan, const SettingOrder& order) {
  const sheet::Row row = plan.row_of(plan.batches[order.batch]);
  if (order.leaves) {
    return changes_between(settings_of_last_day(row, order.stage), {}, order.kept_by_others);
  }
  const int offset = order.day - 1;
  const Settings before =
      offset == 0 ? settings_before(row, order.stage) : settings_on(row, order.stage, offset - 1);
  return changes_between(before, settings_on(row, order.stage, offset), order.kept_by_others);
}

/// Whether plants go on from a stage in the same room, where the next one sets what changes.
bool stays_in_room(const language::Protocol& protocol, StageId stage) {
  return std::any_of(
      protocol.stages.begin(), protocol.stages.end(), [&](const language::Stage& next) {
        return next.room == protocol.stages[stage].room && language::takes_from(next, stage);
      });
}

/// Goes through stages of batches in rooms that they share.
class OrderFinder {
 public:
  explicit OrderFinder(const Plan& plan) : plan_(plan), keeping_(plan) {}

  void add_stage(std::size_t batch, StageId stage) {
    const sheet::Row row = plan_.row_of(plan_.batches[batch]);
    const std::string& room = row.stage(stage).room;
    const calendar::Day start = row.start(stage);
    const int days = row.climate(stage).days();
    SettingOrder order;
    order.batch = static_cast<std::uint32_t>(batch);
    order.stage = stage;
    Settings before = settings_before(row, stage);
    for (int offset = 0; offset < days; ++offset) {
      Settings now = settings_on(row, stage, offset);
      order.date = start + offset;
      order.day = offset + 1;
      order.kept_by_others = kept_with(room, order.date);
      if (!changes_between(before, now, order.kept_by_others).empty()) orders_.push_back(order);
      before = std::move(now);
    }
    if (room.empty() || before.empty() || stays_in_room(row.protocol(), stage)) return;
    const int stood = days + waiting_days(row, stage);
    order.date = start + stood;
    order.day = stood + 1;
    order.leaves = true;
    order.kept_by_others = keeping_.on(room, order.date);
    if (!changes_between(before, {}, order.kept_by_others).empty()) orders_.push_back(order);
  }

  std::vector<SettingOrder> take() { return std::move(orders_); }

 private:
  /// Nobody knows here who stands in which zone of a room, so what ends in one is always told.
  /// Without a room plants stand by themselves.
  ColumnSet kept_with(const std::string& room, calendar::Day day) const {
    const auto found = plan_.book->site.rooms.find(room);
    const bool has_zones = found != plan_.book->site.rooms.end() && found->second.zones > 1;
    return room.empty() || has_zones ? 0 : keeping_.on(room, day);
  }

  const Plan& plan_;
  const RoomKeeping keeping_;
  std::vector<SettingOrder> orders_;
};

}  // namespace

std::vector<SettingOrder> setting_orders(const Plan& plan,
                                         const std::vector<std::size_t>& batches) {
  OrderFinder finder(plan);
  for (const std::size_t batch : batches) {
    if (!plan.batches[batch].dated || !plan.facts_of(plan.batches[batch]).lead) continue;
    for (const StageId s : plan.protocol_of(plan.batches[batch]).stages.ids()) {
      finder.add_stage(batch, s);
    }
  }
  std::vector<SettingOrder> out = finder.take();
  std::sort(out.begin(), out.end(), [](const SettingOrder& a, const SettingOrder& b) {
    return std::tie(a.date, a.batch, a.stage) < std::tie(b.date, b.batch, b.stage);
  });
  return out;
}

std::optional<MistTotal> mist_total(const Plan& plan, const BatchPlan& batch, StageId stage,
                                    int offset) {
  const sheet::Row row = plan.row_of(batch);
  const auto room = plan.book->site.rooms.find(row.stage(stage).room);
  const bool flows = room != plan.book->site.rooms.end() && room->second.mist_flow;
  MistTotal total;
  total.volume_unit = units::in_system(*units::find_unit("L"), plan.book->site.units);
  if (flows) total.volume = 0;
  const auto running = row.climate(stage).mist(offset);
  for (const sheet::StageClimate::Pulses& one : running) {
    climate::MistProgramme programme = one.programme;
    programme.flow = flows ? room->second.mist_flow->value : 0;
    const auto day = climate::mist_day(programme);
    if (!day) return std::nullopt;
    total.pulses += day->pulses;
    total.seconds += day->time;
    if (flows) *total.volume += day->volume;
  }
  return running.empty() ? std::nullopt : std::optional(total);
}

namespace {

/// What plants ask for no more goes back to what their room is set to without them.
void go_back(const book::Site& site, const std::string& room, Settings& changes) {
  const auto found = site.rooms.find(room);
  if (found == site.rooms.end()) return;
  for (DaySetting& change : changes) {
    if (change.value != asked_no_more) continue;
    const language::MeasureFacts* facts = language::find_measure(change.name);
    if (facts == nullptr) continue;
    const auto standing = found->second.keeps.find(facts->measure);
    if (standing == found->second.keeps.end()) continue;
    const units::Unit unit = units::in_system(*units::find_unit(facts->unit), site.units);
    change.value = "back to " + units::format(standing->second.value, unit, 3);
  }
}

}  // namespace

SettingDetail describe(const Plan& plan, const SettingOrder& order) {
  const BatchPlan& batch = plan.batches[order.batch];
  const book::Batch& facts = plan.facts_of(batch);
  const language::Stage& stage = plan.protocol_of(batch).stages[order.stage];
  SettingDetail out;
  out.id = facts.id.value + "/" + stage.name + "/set/" +
           (order.leaves ? std::string("end") : std::to_string(order.day));
  out.batch = facts.id.value;
  out.cultivar = facts.cultivar;
  out.stage = stage.name;
  out.stage_title = stage.title;
  out.room = stage.room;
  out.date = order.date;
  out.changes = changes_of(plan, order);
  go_back(plan.book->site, stage.room, out.changes);
  if (!order.leaves && std::any_of(out.changes.begin(), out.changes.end(), is_mist)) {
    out.mist = mist_total(plan, batch, order.stage, order.day - 1);
  }
  out.line = stage.span;
  return out;
}

}  // namespace budwood::plan
