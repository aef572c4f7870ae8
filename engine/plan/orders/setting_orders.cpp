#include "plan/orders/setting_orders.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "plan/plan.hpp"
#include "plan/settings/changes.hpp"
#include "plan/settings/presence.hpp"

namespace budwood::plan {

using calendar::Day;

namespace {

/// Nobody plans for longer without anybody: then it is set on the very day.
constexpr int longest_absence = 31;

/// Goes through the periods of one place.
class PlaceOrders {
 public:
  PlaceOrders(const Plan& plan, std::uint32_t place)
      : plan_(plan), place_(plan.settings.places()[place]) {
    order_.place = place;
  }

  void run(std::vector<SettingOrder>& out) {
    static const std::vector<DaySetting> nothing;
    const std::vector<DaySetting>* before = &nothing;
    for (std::uint32_t i = 0; i < place_.periods.size(); ++i) {
      const SettingPeriod& now = place_.periods[i];
      if (now.whom.empty() && !place_.lasts()) continue;
      const auto changes = changes_between(*before, now.settings);
      if (changes.empty() || !set_date(i, changes)) continue;
      order_.period = i;
      if (before == &nothing) order_.before = i;
      order_.since = now.from;
      order_.lead = now.whom.empty() ? last_there(i) : now.whom.front();
      out.push_back(order_);
      before = &now.settings;
      order_.before = i;
    }
  }

 private:
  bool is_there(Day day) const { return somebody_there(plan_.book->site, day); }

  StageOfBatch last_there(std::uint32_t period) const {
    while (period > 0 && place_.periods[period].whom.empty()) --period;
    return place_.periods[period].whom.front();
  }

  /// Whether a stage begins with the period.
  bool begins(const SettingPeriod& period) const {
    return std::any_of(period.whom.begin(), period.whom.end(), [&](const StageOfBatch& one) {
      return plan_.row_of(plan_.batches[one.batch]).start(one.stage) == period.from;
    });
  }

  /// When the changes of a period are made; false when the next period comes before that.
  bool set_date(std::uint32_t index, const std::vector<DaySetting>& changes) {
    const SettingPeriod& period = place_.periods[index];
    const book::Room* const room = plan_.book->site.find_room(place_.room);
    order_.date = period.from;
    order_.by_timer =
        room != nullptr && std::all_of(changes.begin(), changes.end(), [&](const DaySetting& one) {
          return room->by_timer.has(one.name);
        });
    if (order_.by_timer || is_there(period.from)) return true;
    const int step = begins(period) ? -1 : 1;
    Day day = period.from;
    while (!is_there(day) && std::abs(day - period.from) < longest_absence) day += step;
    if (is_there(day)) order_.date = day;
    const bool last = index + 1 == place_.periods.size();
    return last || order_.date < place_.periods[index + 1].from;
  }

  const Plan& plan_;
  const SettingPlace& place_;
  SettingOrder order_;
};

const SettingPlace& setting_place(const Plan& plan, const SettingOrder& order) {
  return plan.settings.places()[order.place];
}

/// What plants ask for no more goes back to what their room is set to without them.
void go_back(const book::Site& site, const std::string& room, std::vector<DaySetting>& changes) {
  const book::Room* const found = site.find_room(room);
  if (found == nullptr) return;
  for (DaySetting& change : changes) {
    if (change.kind != DaySetting::Kind::unasked) continue;
    const language::MeasureFacts* facts = language::find_measure(change.name);
    if (facts == nullptr) continue;
    const auto standing = found->stands.find(facts->measure);
    if (standing == found->stands.end()) continue;
    change.kind = DaySetting::Kind::back;
    change.low = change.high = standing->second.value;
    change.unit = units::in_system(*units::find_unit(facts->unit), site.units);
  }
}

/// Whether what moves the hours of lamps is set anew.
bool sets_light(const std::vector<DaySetting>& changes) {
  using language::Measure;
  return std::any_of(changes.begin(), changes.end(), [](const DaySetting& one) {
    const language::MeasureFacts* facts = language::find_measure(one.name);
    return facts != nullptr && one.kind == DaySetting::Kind::level &&
           (facts->measure == Measure::light_sum || facts->measure == Measure::light ||
            facts->measure == Measure::photoperiod || facts->measure == Measure::night_break);
  });
}

bool sets_water_by_light(const std::vector<DaySetting>& changes) {
  return std::any_of(changes.begin(), changes.end(), [](const DaySetting& one) {
    return one.kind == DaySetting::Kind::level && !std::isnan(one.light);
  });
}

std::string id_of(const Plan& plan, const SettingOrder& order) {
  const SettingPlace& place = setting_place(plan, order);
  const std::string set = "/set/" + calendar::iso_date(order.since);
  if (place.lasts()) return place.room + "/" + (place.zone.empty() ? "all" : place.zone) + set;
  const BatchPlan& batch = plan.batches[place.own.batch];
  return plan.facts_of(batch).id.value + "/" +
         plan.protocol_of(batch).stages[place.own.stage].name + set + (place.cover ? "/cover" : "");
}

}  // namespace

std::vector<SettingOrder> setting_orders(const Plan& plan) {
  std::vector<SettingOrder> out;
  for (std::uint32_t i = 0; i < plan.settings.places().size(); ++i) PlaceOrders(plan, i).run(out);
  std::stable_sort(out.begin(), out.end(), [](const SettingOrder& a, const SettingOrder& b) {
    return std::tie(a.date, a.place) < std::tie(b.date, b.place);
  });
  return out;
}

const std::vector<StageOfBatch>& whom(const Plan& plan, const SettingOrder& order) {
  return setting_place(plan, order).periods[order.period].whom;
}

std::optional<MistTotal> mist_total(const book::Site& site, const std::string& room,
                                    const std::vector<DaySetting>& settings) {
  const auto sum = mist_of(settings);
  if (!sum) return std::nullopt;
  const book::Room* const found = site.find_room(room);
  MistTotal total{sum->pulses, sum->seconds, {}, {}};
  total.volume_unit = units::in_system(*units::find_unit("L"), site.units);
  if (found != nullptr && found->mist_flow) total.volume = sum->seconds * found->mist_flow->value;
  return total;
}

SettingDetail describe(const Plan& plan, const SettingOrder& order) {
  const SettingPlace& place = setting_place(plan, order);
  const SettingPeriod& now = place.periods[order.period];
  const BatchPlan& batch = plan.batches[order.lead.batch];
  const book::Batch& facts = plan.facts_of(batch);
  const language::Stage& stage = plan.protocol_of(batch).stages[order.lead.stage];
  SettingDetail out;
  out.id = id_of(plan, order);
  out.batch = facts.id.value;
  out.cultivar = facts.cultivar;
  out.stage = stage.name;
  out.stage_title = stage.title;
  out.room = place.room;
  out.zone = place.zone;
  out.cover = place.cover;
  out.date = order.date;
  out.since = order.since;
  out.by_timer = order.by_timer;
  for (const StageOfBatch& one : now.whom) {
    const BatchPlan& other = plan.batches[one.batch];
    out.whom.push_back(plan.facts_of(other).id.value + "/" +
                       plan.protocol_of(other).stages[one.stage].name);
  }
  static const std::vector<DaySetting> nothing;
  const bool first = order.before == order.period;
  out.changes =
      changes_between(first ? nothing : place.periods[order.before].settings, now.settings);
  go_back(plan.book->site, place.room, out.changes);
  const bool mist = std::any_of(out.changes.begin(), out.changes.end(),
                                [](const auto& one) { return one.kind == DaySetting::Kind::mist; });
  if (mist) out.mist = mist_total(plan.book->site, place.room, now.settings);
  const bool last = order.period + 1 == place.periods.size();
  const Day to = last ? now.from : place.periods[order.period + 1].from - 1;
  if (sets_water_by_light(out.changes)) {
    out.water = water_total(plan.book->site, place.room, now.settings, now.from, to);
  }
  if (sets_light(out.changes)) {
    out.lamps = lamp_total(plan.book->site, place.room, now.settings, now.from, to);
    if (out.lamps && std::isnan(out.lamps->first.seconds)) out.lamps.reset();
  }
  out.line = stage.span;
  return out;
}

}  // namespace budwood::plan
