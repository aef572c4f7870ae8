#include "plan/settings/tell_settings.hpp"

#include <cmath>

#include "plan/plan.hpp"
#include "plan/settings/stage_settings.hpp"

namespace budwood::plan {

void tell_settings(Plan& plan, const BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  for (const StageId s : row.protocol().stages.ids()) {
    const language::Stage& stage = row.stage(s);
    if (stage.mists.empty()) continue;
    const auto fall = steepest_fall(StageSettings(plan.book->site, row, s));
    if (!fall) continue;
    const auto programme = [](const climate::MistProgramme& mist) {
      return timer_text(mist.pulse) + " every " + timer_text(mist.interval);
    };
    plan.notes.push_back(
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
