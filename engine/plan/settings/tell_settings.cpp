#include "plan/settings/tell_settings.hpp"

#include <algorithm>
#include <cmath>

#include "plan/expanded.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

const std::optional<SteepFall>& SettingTeller::fall_of(const Plan& plan, const sheet::Row& row,
                                                       StageId stage) {
  const auto [found, fresh] =
      falls_.try_emplace({profiles_.find(row, stage), row.start(stage)}, std::nullopt);
  if (fresh) found->second = steepest_fall(StageSettings(plan.book->site, row, stage));
  return found->second;
}

void SettingTeller::tell_of_light(const Plan& plan, const BatchPlan& batch,
                                  const language::Stage& stage, Expanded& out) {
  const auto asks = [&](const auto& what) {
    return std::any_of(stage.settings.begin(), stage.settings.end(), what);
  };
  const bool sum = asks([](const language::Setting& setting) {
    return setting.measure == language::Measure::light_sum;
  });
  const bool water = language::waits_for_light(stage);
  if ((!sum && !water) || rooms_told_.count(stage.room) > 0) return;
  const book::Site& site = plan.book->site;
  const book::Room* const room = site.find_room(stage.room);
  std::vector<std::string> missing;
  if (room == nullptr || !room->lets_in) missing.emplace_back("`lets_in` of the room");
  const bool dark = room != nullptr && room->lets_in && room->lets_in->value == 0;
  if (!dark && !site.radiation_on(plan.row_of(batch).start(StageId(0)))) {
    missing.emplace_back(site.sky.usual == climate::Sky::Usual::unknown
                             ? "`radiation`, `sunshine` or `sky` below `climate`"
                             : "`latitude`");
  }
  // How long lamps burn for a photoperiod, and so what light they give, goes by the day outdoors.
  const bool by_day = water && !sum && asks([](const language::Setting& setting) {
                        return setting.measure == language::Measure::photoperiod;
                      });
  if (missing.empty() && by_day && !dark && !site.latitude) missing.emplace_back("`latitude`");
  // What lamps bring to a sum goes by their strength.
  if (water && sum && !dark && room != nullptr && !room->can) {
    missing.emplace_back("what the room `can` do, with its lamps");
  }
  if (missing.empty()) return;
  rooms_told_.insert(stage.room);
  out.once_a_room.emplace_back(stage.room, out.notes.size());
  out.notes.push_back(
      {plan.facts_of(batch).id.value,
       "`" + stage.name + "` " +
           (sum ? "asks for a light sum, and it is not known how long lamps burn "
                  "for it"
                : "is given water or feed by light, and it is not known how much comes") +
           (stage.room.empty() ? "" : " in `" + stage.room + "`") + ": site.yaml says nothing of " +
           text::list_words(missing, "and") + ".",
       stage.span});
}

void SettingTeller::tell(const Plan& plan, const BatchPlan& batch, Expanded& out) {
  const sheet::Row row = plan.row_of(batch);
  for (const StageId s : row.protocol().stages.ids()) {
    const language::Stage& stage = row.stage(s);
    tell_of_light(plan, batch, stage, out);
    if (stage.mists.empty()) continue;
    const std::optional<SteepFall>& fall = fall_of(plan, row, s);
    if (!fall) continue;
    const auto programme = [](const climate::MistProgramme& mist) {
      return timer_text(mist.pulse) + " every " + timer_text(mist.interval);
    };
    out.notes.push_back(
        {plan.facts_of(batch).id.value,
         "In `" + stage.name + "` mist goes from " + programme(fall->from) + " to " +
             programme(fall->to) + " on " + calendar::short_date(row.start(s) + fall->offset) +
             ", " + units::format(1 - fall->after / fall->before, *units::find_unit("%"), 2) +
             " less water at once: its timer has no step between, or nobody is there to set it on "
             "the days between. Give the taper more days, the timer finer `steps`, or let it "
             "change "
             "`by_timer`.",
         stage.span});
  }
}

}  // namespace budwood::plan
