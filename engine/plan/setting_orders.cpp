#include "plan/setting_orders.hpp"

#include <algorithm>
#include <tuple>

#include "plan/plan.hpp"

namespace budwood::plan {

using language::Half;

namespace {

constexpr const char* mist_name = "mist";

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
void add_mist_changes(const Settings& before, const Settings& now, Settings& changes) {
  const auto values = [](const Settings& settings) {
    std::vector<std::string> out;
    for (const DaySetting& one : settings) {
      if (is_mist(one)) out.push_back(one.value);
    }
    return out;
  };
  if (values(before) == values(now)) return;
  if (values(now).empty()) changes.push_back({mist_name, Half::both, "off"});
  for (const DaySetting& one : now) {
    if (is_mist(one)) changes.push_back(one);
  }
}

Settings changes_between(const Settings& before, const Settings& now) {
  Settings changes;
  for (const DaySetting& one : now) {
    if (is_mist(one)) continue;
    if (const auto half = halves_changed(one, before, false)) {
      changes.push_back({one.name, *half, one.value});
    }
  }
  for (const DaySetting& one : before) {
    if (is_mist(one)) continue;
    if (const auto half = halves_changed(one, now, true)) {
      changes.push_back({one.name, *half, "no longer kept"});
    }
  }
  add_mist_changes(before, now, changes);
  return changes;
}

/// What stands when a stage begins: the last settings of the stage before when the plants stay in
/// their room, else nothing.
Settings settings_before(const sheet::Sheet& sheet, std::size_t row, std::size_t stage) {
  const language::Protocol& protocol = sheet.layout().protocol;
  const language::Stage& here = protocol.stages[stage];
  for (const std::int32_t from : here.takes) {
    const auto before = static_cast<std::size_t>(from);
    if (here.room.empty() || protocol.stages[before].room != here.room) continue;
    return settings_on(sheet, row, before, sheet.climate(before, row).days() - 1);
  }
  return {};
}

void add_orders_of_stage(const Plan& plan, std::size_t batch, std::size_t stage,
                         std::vector<SettingOrder>& out) {
  const BatchPlan& planned = plan.batches[batch];
  const sheet::Sheet& sheet = plan.sheet_of(planned);
  const auto start =
      static_cast<calendar::Day>(sheet.value(sheet.layout().stages[stage].start, planned.row));
  const int days = sheet.climate(stage, planned.row).days();
  Settings before = settings_before(sheet, planned.row, stage);
  for (int offset = 0; offset < days; ++offset) {
    Settings now = settings_on(sheet, planned.row, stage, offset);
    if (!changes_between(before, now).empty()) {
      out.push_back({start + offset, offset + 1, static_cast<std::uint32_t>(batch),
                     static_cast<std::uint16_t>(stage)});
    }
    before = std::move(now);
  }
}

}  // namespace

std::vector<SettingOrder> setting_orders(const Plan& plan,
                                         const std::vector<std::size_t>& batches) {
  std::vector<SettingOrder> out;
  for (const std::size_t batch : batches) {
    if (!plan.batches[batch].dated || !plan.facts_of(plan.batches[batch]).lead) continue;
    const std::size_t stages = plan.protocol_of(plan.batches[batch]).stages.size();
    for (std::size_t s = 0; s < stages; ++s) add_orders_of_stage(plan, batch, s, out);
  }
  std::sort(out.begin(), out.end(), [](const SettingOrder& a, const SettingOrder& b) {
    return std::tie(a.date, a.batch, a.stage) < std::tie(b.date, b.batch, b.stage);
  });
  return out;
}

std::optional<MistTotal> mist_total(const Plan& plan, const BatchPlan& batch, std::size_t stage,
                                    int offset) {
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  const auto room = plan.book->site.rooms.find(plan.protocol_of(batch).stages[stage].room);
  const bool flows = room != plan.book->site.rooms.end() && room->second.mist_flow;
  MistTotal total;
  if (flows) total.volume = 0;
  const auto running = sheet.climate(stage, batch.row).mist(offset);
  for (const sheet::StageClimate::Pulses& one : running) {
    climate::MistProgramme programme = as_set(one.programme);
    programme.flow = flows ? room->second.mist_flow->value : 0;
    const auto day = climate::mist_day(programme);
    if (!day) return std::nullopt;
    total.pulses += day->pulses;
    total.seconds += day->time;
    if (flows) *total.volume += day->volume;
  }
  return running.empty() ? std::nullopt : std::optional(total);
}

SettingDetail describe(const Plan& plan, const SettingOrder& order) {
  const BatchPlan& batch = plan.batches[order.batch];
  const book::Batch& facts = plan.facts_of(batch);
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  const language::Stage& stage = plan.protocol_of(batch).stages[order.stage];
  const int offset = order.day - 1;
  SettingDetail out;
  out.id = facts.id.value + "/" + stage.name + "/set/" + std::to_string(order.day);
  out.batch = facts.id.value;
  out.cultivar = facts.cultivar;
  out.stage = stage.name;
  out.stage_title = stage.title;
  out.room = stage.room;
  out.date = order.date;
  const Settings before = offset == 0 ? settings_before(sheet, batch.row, order.stage)
                                      : settings_on(sheet, batch.row, order.stage, offset - 1);
  out.changes = changes_between(before, settings_on(sheet, batch.row, order.stage, offset));
  if (std::any_of(out.changes.begin(), out.changes.end(), is_mist)) {
    out.mist = mist_total(plan, batch, order.stage, offset);
  }
  out.line = stage.span;
  return out;
}

}  // namespace budwood::plan
