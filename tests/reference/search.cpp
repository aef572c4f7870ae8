#include "search.hpp"

#include <algorithm>

namespace budwood::reference {

namespace {

constexpr Day working_day_wait = 3;

bool works_on(const Book& book, Day day) {
  const auto weekday = static_cast<unsigned>(calendar::weekday(day));
  return (book.weekdays >> weekday & 1U) != 0 && !book.closed.contains(day);
}

bool lies_in(const YearSpan& season, Day day) {
  const calendar::Date date = calendar::date_of(day);
  const auto of = [](unsigned month, unsigned d) { return month * 100 + d; };
  const unsigned at = of(date.month, date.day);
  // The last of February stands for both of its ends in common years.
  const auto edge = [&](const calendar::YearDay& one) {
    const bool leap = calendar::day_of({date.year, 2, 29}).has_value();
    return one.month == 2 && one.day == 29 && !leap ? of(2, 28) : of(one.month, one.day);
  };
  const unsigned first = edge(season.first);
  const unsigned last = edge(season.last);
  return first <= last ? at >= first && at <= last : at >= first || at <= last;
}

/// Work that repeats is left out where nobody is there, unless `within` promises each turn.
bool may_be_left_out(const Work& work) {
  return work.when == Work::When::every && !work.within;
}

}  // namespace

bool binds_start(const Work& work, int due) {
  return work.crew && !may_be_left_out(work) && !(work.look && due > 0);
}

Day next_working(const Book& book, Day day) {
  while (!works_on(book, day)) ++day;
  return day;
}

std::optional<Day> end_of(const Stage& stage, Day start, int amount) {
  return stage.by_heat ? end_of_heat(start, amount) : std::optional(start + amount);
}

std::vector<int> due_offsets(const Work& work, int length) {
  const int last = std::max(0, length - 1);
  std::vector<int> out;
  switch (work.when) {
    case Work::When::last_day:
      return {last};
    case Work::When::between:
    case Work::When::days:
      for (const int day : work.days) {
        if (day - 1 <= last) out.push_back(day - 1);
      }
      break;
    case Work::When::every:
      for (int day = work.days[0] - 1; day <= last; day += work.interval) out.push_back(day);
      break;
  }
  return out;
}

std::optional<Day> turn_day(const Book& book, const Work& work, Day start, int due, int length) {
  if (!work.crew) return start + due;
  const int last = std::max(0, length - 1);
  const int slack = work.within ? *work.within
                    : work.when == Work::When::between
                        ? (work.to == 0 ? last : work.to - work.days[0])
                    : work.when == Work::When::every ? work.interval - 1
                                                     : 0;
  for (int day = due; day <= due + slack && day <= std::max(due, last); ++day) {
    if (works_on(book, start + day)) return start + day;
  }
  if (!work.look || due == 0 || may_be_left_out(work)) return std::nullopt;
  for (int by = 1; by <= length + 1; ++by) {
    const bool between = work.when != Work::When::every || by < work.interval;
    if (!between) break;
    if (due - by >= 0 && works_on(book, start + due - by)) return start + due - by;
    if (due + by <= last && works_on(book, start + due + by)) return start + due + by;
  }
  return std::nullopt;
}

Search::Search(const Book& book)
    : book_(book),
      pins_(2 * book.stages.size()),
      suits_(book.stages.size()),
      ends_known_(book.stages.size()) {
  for (const Pin& pin : book.pins) {
    pins_[2U * static_cast<unsigned>(pin.stage) + (pin.end ? 1 : 0)] = &pin;
  }
  follower_.assign(book.stages.size(), -1);
  for (std::size_t s = 0; s < book.stages.size(); ++s) {
    for (const int from : book.stages[s].takes) {
      follower_[static_cast<std::size_t>(from)] = static_cast<int>(s);
    }
  }
  find_over();
}

bool Search::recorded(std::size_t stage, bool end) const {
  const Pin* one = pin(stage, end);
  return one != nullptr && one->recorded;
}

bool Search::too_early(std::size_t s, bool end, Day day) const {
  return book_.today && day < *book_.today && !over(s, end);
}

std::optional<Day> Search::usual_end(std::size_t s, Day start) const {
  const auto end = unstretched_end(s, start);
  if (!end || stretch_.empty() || stretch_[s] == 0) return end;
  return *end + stretch_[s];
}

std::optional<Day> Search::unstretched_end(std::size_t s, Day start) const {
  const auto [place, fresh] = ends_known_[s].try_emplace(start);
  if (fresh) place->second = look_for_end(s, start);
  return place->second;
}

std::optional<Day> Search::look_for_end(std::size_t s, Day start) const {
  if (recorded(s, false) && recorded(s, true)) {
    const Day end = pin(s, true)->day;
    return end >= start ? std::optional(end) : std::nullopt;
  }
  const Stage& stage = book_.stages[s];
  auto end = end_of(stage, start, stage.usual);
  const auto known = recorded(s, false) && book_.today ? over_by(s) : std::nullopt;
  if (end && known && *end > *known) {
    const auto quick = end_of(stage, start, stage.shortest);
    if (!quick || *quick > *known) return std::nullopt;
    end = known;
  }
  if (end && too_early(s, true, *end)) {
    const auto last = end_of(stage, start, stage.longest);
    if (!last || *last < *book_.today) return std::nullopt;
    end = *book_.today;
  }
  const Pin* fixed = pin(s, true);
  return fixed != nullptr && end != fixed->day ? std::nullopt : end;
}

std::optional<Day> Search::over_by(std::size_t s) const {
  std::optional<Day> out;
  for (std::size_t next = 0; next < book_.stages.size(); ++next) {
    const Stage& stage = book_.stages[next];
    const bool takes =
        std::find(stage.takes.begin(), stage.takes.end(), static_cast<int>(s)) != stage.takes.end();
    const bool after = stage.after && stage.after->stage == static_cast<int>(s);
    if (!recorded(next, false) || (!takes && !after)) continue;
    const Day day = pin(next, false)->day - (after ? stage.after->low.value_or(0) : 0);
    out = std::min(out.value_or(day), day);
  }
  return out;
}

int Search::room_to_stretch(std::size_t s) const {
  if (!book_.today || !recorded(s, false) || pin(s, true) != nullptr) return 0;
  const Day start = pin(s, false)->day;
  const auto end = unstretched_end(s, start);
  const auto slow = end_of(book_.stages[s], start, book_.stages[s].longest);
  return end && slow ? std::max(0, *slow - *end) : 0;
}

std::optional<Day> Search::first_start(std::size_t s) const {
  const bool begins = book_.stages[s].takes.empty() && !over(s, false) && !recorded(s, false);
  return begins ? first_ : std::nullopt;
}

bool Search::can_start(std::size_t s, Day start) const {
  const Pin* fixed = pin(s, false);
  if (fixed != nullptr && fixed->day != start) return false;
  if (too_early(s, false, start)) return false;
  if (const auto first = first_start(s); first && start < *first) return false;
  return recorded(s, false) || day_suits(s, start);
}

bool Search::day_suits(std::size_t s, Day start) const {
  auto& known = suits_[s];
  const auto [place, fresh] = known.try_emplace(start, false);
  if (fresh) place->second = look_at_day(s, start);
  return place->second;
}

bool Search::in_season(std::size_t s, Day start) const {
  const auto& season = book_.stages[s].season;
  return recorded(s, false) || !season || lies_in(*season, start);
}

bool Search::look_at_day(std::size_t s, Day start) const {
  const Stage& stage = book_.stages[s];
  if (!in_season(s, start)) return false;
  for (const int from : stage.takes) {
    const Stage& before = book_.stages[static_cast<std::size_t>(from)];
    if (before.room != stage.room && !works_on(book_, start)) return false;
  }
  const auto end = end_of(stage, start, stage.usual);
  if (!end) return false;
  for (const Work& work : stage.works) {
    for (const int due : due_offsets(work, *end - start)) {
      if (binds_start(work, due) && !turn_day(book_, work, start, due, *end - start)) return false;
    }
  }
  return true;
}

bool Search::may_wait(std::size_t s, Day end, Day next) const {
  const Stage& stage = book_.stages[s];
  if (next < end) return false;
  switch (stage.wait) {
    case Stage::Wait::none:
      return next == end;
    case Stage::Wait::stated:
      return next - end <= stage.longest_wait;
    case Stage::Wait::to_working_day:
      break;
  }
  for (Day day = end; day < next; ++day) {
    if (works_on(book_, day)) return false;
  }
  return next - end <= working_day_wait;
}

bool Search::agree(std::size_t from, Day from_start, Day from_end, std::size_t to,
                   Day to_start) const {
  const Stage& stage = book_.stages[to];
  const bool gives = std::find(stage.takes.begin(), stage.takes.end(), static_cast<int>(from)) !=
                     stage.takes.end();
  const bool known = recorded(from, true) && recorded(to, false);
  const bool says = stage.after && stage.after->stage == static_cast<int>(from);
  const bool by = says && stage.after->low;
  if (gives || says) {
    if (to_start < from_end) return false;
  }
  if (gives && !known) {
    const bool replaced = by && book_.stages[from].wait == Stage::Wait::to_working_day;
    if (!replaced && !may_wait(from, from_end, to_start)) return false;
  }
  if (by && !known) {
    const Day gap = to_start - from_end;
    if (gap < *stage.after->low || gap > *stage.after->high) return false;
  }
  return agrees_within(stage, from, from_start, from_end, to, to_start);
}

void Search::plans(Day ready, const std::function<void(const Starts&)>& found) {
  if (!works_on(book_, ready)) return;
  ready_ = ready;
  found_ = &found;
  starts_.assign(book_.stages.size(), 0);
  ends_.assign(book_.stages.size(), 0);
  descend(book_.stages.size());
}

bool Search::agrees_within(const Stage& stage, std::size_t from, Day from_start, Day from_end,
                           std::size_t to, Day to_start) const {
  if (!stage.within || stage.within->stage != static_cast<int>(from)) return true;
  if (recorded(from, stage.within->of_end) && recorded(to, false)) return true;
  const Day gap = to_start - (stage.within->of_end ? from_end : from_start);
  return gap >= stage.within->low && gap <= stage.within->high;
}

std::optional<Day> Search::only_start(std::size_t s) const {
  if (!held_.empty() && held_[s]) return held_[s];
  const Pin* fixed = pin(s, false);
  return fixed == nullptr ? std::nullopt : std::optional(fixed->day);
}

void Search::descend(std::size_t left) {
  if (left == 0) {
    (*found_)(starts_);
    return;
  }
  const std::size_t s = left - 1;
  const int next = follower_[s];
  const Day until = next < 0 ? ready_ : starts_[static_cast<std::size_t>(next)];
  const auto only = only_start(s);
  const Day first = std::max(until - longest_step, only.value_or(until - longest_step));
  for (Day start = std::min(until, only.value_or(until)); start >= first; --start) {
    const auto end = usual_end(s, start);
    if (!end || *end > until) continue;
    if (next < 0 && !may_wait(s, *end, until)) continue;
    if (!can_start(s, start)) continue;
    bool fits = true;
    for (std::size_t to = s + 1; to < starts_.size() && fits; ++to) {
      fits = agree(s, start, *end, to, starts_[to]);
    }
    if (!fits) continue;
    starts_[s] = start;
    ends_[s] = *end;
    descend(s);
  }
}

void Search::find_over() {
  const std::size_t n = book_.stages.size();
  over_.assign(2 * n, false);
  for (std::size_t round = 0; round <= n; ++round) {
    for (std::size_t s = 0; s < n; ++s) {
      const Stage& stage = book_.stages[s];
      over_[2 * s + 1] = over_[2 * s + 1] || recorded(s, true);
      over_[2 * s] = over_[2 * s] || recorded(s, false) || over_[2 * s + 1];
      if (!over_[2 * s]) continue;
      for (const int from : stage.takes) over_[2 * static_cast<std::size_t>(from) + 1] = true;
      if (stage.after) over_[2 * static_cast<std::size_t>(stage.after->stage) + 1] = true;
    }
  }
  for (std::size_t s = 0; s < n; ++s) over_[2 * s] = over_[2 * s] || begins_by_itself(s);
}

bool Search::begins_by_itself(std::size_t s) const {
  const Stage& stage = book_.stages[s];
  if (stage.takes.empty()) return false;
  for (const int from : stage.takes) {
    const auto before = static_cast<std::size_t>(from);
    if (!recorded(before, true) || book_.stages[before].room != stage.room) return false;
  }
  if (stage.after && !recorded(static_cast<std::size_t>(stage.after->stage), true)) return false;
  return std::none_of(stage.works.begin(), stage.works.end(), [&](const Work& work) {
    if (work.look || work.when == Work::When::every) return false;
    const auto due = due_offsets(work, stage.by_heat ? 30 : stage.usual);
    return std::find(due.begin(), due.end(), 0) != due.end();
  });
}

}  // namespace budwood::reference
