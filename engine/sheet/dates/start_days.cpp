#include "sheet/dates/start_days.hpp"

namespace budwood::sheet {

using calendar::DaySet;

namespace {

constexpr std::int32_t hand_over = -1;  ///< in the place of a stage

/// The days of work on stated days, which come however long the stage lasts.
std::vector<int> certain_days(const language::Timing& timing) {
  std::vector<int> out;
  if (timing.kind == language::Timing::Kind::start) out.push_back(0);
  if (timing.kind != language::Timing::Kind::days) return out;
  for (const language::StageDay& day : timing.days) {
    if (!day.last) out.push_back(day.day - 1);
  }
  return out;
}

}  // namespace

StartDays::StartDays(const language::Protocol& protocol, const Site& site)
    : protocol_(protocol), working_(site.working), southern_(site.southern) {}

const DaySet* StartDays::of(std::int32_t stage, int length, const DayWindow& window) {
  const Key key{stage, length, window};
  if (const auto found = sets_.find(key); found != sets_.end()) return found->second.get();
  if (window == DayWindow{}) return kept(key, make(stage, length));
  const DaySet* whole = of(stage, length);
  return kept(key, whole == nullptr ? nullptr : std::make_unique<DaySet>(*whole));
}

const DaySet* StartDays::of_hand_over(const DayWindow& window) {
  const Key key{hand_over, 0, window};
  if (const auto found = sets_.find(key); found != sets_.end()) return found->second.get();
  return kept(key, std::make_unique<DaySet>(working_.days()));
}

const DaySet* StartDays::kept(const Key& key, std::unique_ptr<DaySet> set) {
  if (set != nullptr) *set &= DaySet::between(key.window.first, key.window.last);
  return sets_.emplace(key, std::move(set)).first->second.get();
}

std::unique_ptr<DaySet> StartDays::make(std::int32_t stage, int length) const {
  const language::Stage& written = protocol_.stages[static_cast<std::size_t>(stage)];
  std::unique_ptr<DaySet> set;
  if (written.season) {
    set = std::make_unique<DaySet>(
        calendar::season(written.season->first, written.season->last, southern_));
  }
  const bool unknown = length == unknown_length;
  const int last = unknown ? 0 : last_offset(length);
  for (const language::Work& work : written.works) {
    if (work.crew.empty() || !work.timing.must) continue;
    for (const int due : unknown ? certain_days(work.timing) : due_days(work.timing, length)) {
      if (set == nullptr) set = std::make_unique<DaySet>(DaySet::all());
      const int latest = std::min(due + work.timing.within, std::max(due, last));
      *set &= working_.days().any_within(due, latest);
    }
  }
  return set;
}

}  // namespace budwood::sheet
