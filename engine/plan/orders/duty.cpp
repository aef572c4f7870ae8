#include "plan/orders/duty.hpp"

#include <algorithm>

#include "plan/plan.hpp"
#include "plan/settings/presence.hpp"

namespace budwood::plan {

using calendar::Day;
using language::Measure;

namespace {

/// Whether plants cannot do without somebody who looks at them: wet by a machine.
bool is_delicate(const sheet::Row& row, StageId stage, int offset) {
  constexpr double moist = 0.9;
  const sheet::StageClimate climate = row.climate(stage);
  if (!climate.mist(offset).empty()) return true;
  return climate.value(Measure::humidity, language::Half::both, offset) >= moist;
}

/// For how many days in a row the plants of a stage have stood so on a day of it, stages before
/// included.
int delicate_days(const sheet::Row& row, StageId stage, int offset, int enough) {
  int days = 0;
  while (days < enough) {
    for (; offset >= 0 && days < enough; --offset) {
      if (!is_delicate(row, stage, offset)) return days;
      ++days;
    }
    const auto& takes = row.stage(stage).takes;
    if (takes.size() != 1) return days;
    stage = takes.front();
    offset = row.climate(stage).days() - 1;
  }
  return days;
}

}  // namespace

DutyDay duty_day(const book::Site& site, const language::Work& work, const std::vector<Turn>& turns,
                 const Turn& turn, const StageSpan& span) {
  DutyDay out;
  if (site.working.works(turn.due) || !language::looks_after_plants(work)) return out;
  out.applies = true;
  if (crew_on_duty(site, turn.due) != nullptr) {
    out.on_duty = true;
    out.date = turn.due;
    return out;
  }
  const std::optional<Day> before = site.working.days().previous(turn.due);
  const bool taken = std::any_of(turns.begin(), turns.end(), [&](const Turn& other) {
    return before && other.occurrence < turn.occurrence && other.due >= *before;
  });
  if (before && *before >= span.first && !taken) out.date = before;
  return out;
}

void report_unwatched(Plan& plan, const BatchPlan& batch, StageId stage, WorkId work,
                      const Turn& turn) {
  constexpr int first_week = 7;
  const sheet::Row row = plan.row_of(batch);
  const language::Stage& written = row.stage(stage);
  const language::Work& what = written.works[work];
  const int offset = turn.due - row.start(stage);
  const bool delicate = offset < row.climate(stage).days() && is_delicate(row, stage, offset) &&
                        delicate_days(row, stage, offset, first_week + 1) <= first_week &&
                        language::has_tag(what, "watch");
  const bool once = what.timing.kind != language::Timing::Kind::repeat;
  if (!delicate && !once) return;
  const std::string& id = plan.facts_of(batch).id.value;
  // The second day of a weekend is told with the first.
  const std::string about = "Nobody is there for \"" + what.title + "\" in `" + written.name + "`";
  for (auto told = plan.conflicts.rbegin(); told != plan.conflicts.rend(); ++told) {
    if (told->batch != id) break;  // those of a batch come one after the other
    if (told->code == "nobody-there" && told->message.starts_with(about)) {
      told->message.insert(told->message.size() - 1, ", " + calendar::short_date(turn.due));
      return;
    }
  }
  Conflict conflict;
  conflict.batch = id;
  conflict.code = "nobody-there";
  conflict.stage = stage;
  conflict.span = plan.facts_of(batch).span;
  conflict.message =
      about + (delicate ? ", whose plants are in their first week of wet air, on " : " on ") +
      calendar::short_date(turn.due) + ".";
  conflict.facts.push_back({"The work is due then.", what.span});
  conflict.repairs.push_back(
      {"Let a crew have duty on such days: `duty: {days: [sat, sun], hours: 2 h}` in site.yaml."});
  if (delicate) {
    conflict.repairs.push_back(
        {"Start `" + written.name +
         "` so early in the week that a whole week passes before a free day."});
  }
  plan.conflicts.push_back(std::move(conflict));
}

}  // namespace budwood::plan
