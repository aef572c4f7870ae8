#include "sheet/dates/start_days.hpp"

#include <algorithm>

#include "sheet/columns/program.hpp"
#include "sheet/dates/work_days.hpp"

namespace budwood::sheet {

using calendar::DaySet;
using language::Stage;

namespace {

constexpr std::int32_t hand_over = -1;  ///< in the place of a stage
constexpr int season_alone = -1;        ///< in the place of a length

bool has_binding_work(const Stage& stage) {
  return std::any_of(stage.works.begin(), stage.works.end(), [](const language::Work& work) {
    return !work.crew.empty() && work.timing.must;
  });
}

}  // namespace

StartDays::StartDays(const language::Protocol& protocol, const Site& site)
    : protocol_(protocol), working_(site.working), southern_(site.southern) {}

const DaySet* StartDays::of(std::int32_t stage, int length, const DayWindow& window) {
  return find({stage, length, nullptr, window});
}

const DaySet* StartDays::of(std::int32_t stage, const SeriesLength& length,
                            const DayWindow& window) {
  return find({stage, 0, &length, window});
}

const DaySet* StartDays::find(const Key& key) {
  if (const auto found = sets_.find(key); found != sets_.end()) return found->second.get();
  if (key.window == DayWindow{}) return kept(key, make(key));
  Key whole = key;
  whole.window = {};
  const DaySet* days = find(whole);
  return kept(key, days == nullptr ? nullptr : std::make_unique<DaySet>(*days));
}

const DaySet* StartDays::of_season(std::int32_t stage, const DayWindow& window) {
  const Key key{stage, season_alone, nullptr, window};
  if (const auto found = sets_.find(key); found != sets_.end()) return found->second.get();
  const auto& season = protocol_.stages[static_cast<std::size_t>(stage)].season;
  if (!season) return kept(key, nullptr);
  return kept(key,
              std::make_unique<DaySet>(calendar::season(season->first, season->last, southern_)));
}

const DaySet* StartDays::of_hand_over(const DayWindow& window) {
  const Key key{hand_over, 0, nullptr, window};
  if (const auto found = sets_.find(key); found != sets_.end()) return found->second.get();
  return kept(key, std::make_unique<DaySet>(working_.days()));
}

const DaySet* StartDays::kept(const Key& key, std::unique_ptr<DaySet> set) {
  if (set != nullptr) *set &= DaySet::between(key.window.first, key.window.last);
  return sets_.emplace(key, std::move(set)).first->second.get();
}

std::unique_ptr<DaySet> StartDays::make(const Key& key) const {
  const Stage& written = protocol_.stages[static_cast<std::size_t>(key.stage)];
  // Somebody carries them.
  const bool moved = language::changes_room(protocol_, written);
  const bool works = has_binding_work(written);
  if (!written.season && !moved && !works) return nullptr;
  auto set = std::make_unique<DaySet>(
      written.season ? calendar::season(written.season->first, written.season->last, southern_)
                     : DaySet::all());
  if (moved) *set &= working_.days();
  if (!works) return set;
  if (key.series == nullptr) {
    leave_working(written, key.length, *set);
    return set;
  }
  for (auto start = set->next(key.series->first_start());
       start && *start <= key.series->last_start(); start = set->next(*start + 1)) {
    const int length = *key.series->end_of(*start) - *start;
    if (!finds_people(written, *start, length)) set->remove(*start);
  }
  return set;
}

void StartDays::leave_working(const Stage& stage, int length, DaySet& set) const {
  const int last = last_offset(length);
  for (const language::Work& work : stage.works) {
    for (const int due : due_days(work.timing, length)) {
      if (!must_find_people(work, due)) continue;
      set &= working_.days().any_within(due, latest_day(work, due, last));
    }
  }
}

bool StartDays::finds_people(const Stage& stage, Day start, int length) const {
  const StageReach reach = reach_of(start, length);
  for (const language::Work& work : stage.works) {
    bool all = true;
    for_each_due_day(work.timing, length, [&](int due) {
      all = all && (!must_find_people(work, due) || work_day(work, start + due, reach, working_));
    });
    if (!all) return false;
  }
  return true;
}

}  // namespace budwood::sheet
