#include "planner.hpp"

#include <algorithm>
#include <functional>
#include <unordered_map>

namespace budwood::reference {

namespace {

constexpr Day longest_step = 90;  ///< from one stage's start to the next one's
constexpr Day working_day_wait = 3;

using Starts = std::vector<Day>;

bool works_on(const Book& book, Day day) {
  const auto weekday = static_cast<unsigned>(calendar::weekday(day));
  return (book.weekdays >> weekday & 1U) != 0 && !book.closed.contains(day);
}

bool in_season(const YearSpan& season, Day day) {
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

/// The end of what starts on a day and takes so much; nothing when the temperatures never bring it.
std::optional<Day> end_of(const Stage& stage, Day start, int amount) {
  return stage.by_heat ? end_of_heat(start, amount) : std::optional(start + amount);
}

std::vector<int> due_offsets(const Work& work, int length) {
  const int last = std::max(0, length - 1);
  std::vector<int> out;
  switch (work.when) {
    case Work::When::last_day:
      return {last};
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

/// Work that repeats is left out where nobody is there, unless `within` promises each turn.
bool may_be_left_out(const Work& work) {
  return work.when == Work::When::every && !work.within;
}

bool binds_start(const Work& work, int due) {
  return work.crew && !may_be_left_out(work) && !(work.look && due > 0);
}

std::optional<Day> turn_day(const Book& book, const Work& work, Day start, int due, int length) {
  if (!work.crew) return start + due;
  const int last = std::max(0, length - 1);
  const int slack = work.within                      ? *work.within
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

class Search {
 public:
  explicit Search(const Book& book)
      : book_(book), pins_(2 * book.stages.size()), suits_(book.stages.size()) {
    for (const Pin& pin : book.pins) {
      pins_[2U * static_cast<unsigned>(pin.stage) + (pin.end ? 1 : 0)] = &pin;
    }
    follower_.assign(book.stages.size(), -1);
    for (std::size_t s = 0; s < book.stages.size(); ++s) {
      for (const int from : book.stages[s].takes) {
        follower_[static_cast<std::size_t>(from)] = static_cast<int>(s);
      }
    }
  }

  const Pin* pin(std::size_t stage, bool end) const { return pins_[2 * stage + (end ? 1 : 0)]; }
  bool recorded(std::size_t stage, bool end) const {
    const Pin* one = pin(stage, end);
    return one != nullptr && one->recorded;
  }

  /// The end of a stage that starts on a day, with its usual length or as recorded.
  std::optional<Day> usual_end(std::size_t s, Day start) const {
    if (recorded(s, false) && recorded(s, true)) {
      const Day end = pin(s, true)->day;
      return end >= start ? std::optional(end) : std::nullopt;
    }
    const auto end = end_of(book_.stages[s], start, book_.stages[s].usual);
    const Pin* fixed = pin(s, true);
    return fixed != nullptr && end != fixed->day ? std::nullopt : end;
  }

  /// Whether a stage can start on a day, by itself.
  bool can_start(std::size_t s, Day start) const {
    const Pin* fixed = pin(s, false);
    if (fixed != nullptr && fixed->day != start) return false;
    const Stage& stage = book_.stages[s];
    if (!recorded(s, false) && stage.takes.empty() && first_ && start < *first_) return false;
    return recorded(s, false) || day_suits(s, start);
  }

  /// Season, work that must find people, and who carries plants to another room.
  bool day_suits(std::size_t s, Day start) const {
    auto& known = suits_[s];
    const auto [place, fresh] = known.try_emplace(start, false);
    if (fresh) place->second = look_at_day(s, start);
    return place->second;
  }

  bool look_at_day(std::size_t s, Day start) const {
    const Stage& stage = book_.stages[s];
    if (stage.season && !in_season(*stage.season, start)) return false;
    for (const int from : stage.takes) {
      const Stage& before = book_.stages[static_cast<std::size_t>(from)];
      if (before.room != stage.room && !works_on(book_, start)) return false;
    }
    const auto end = end_of(stage, start, stage.usual);
    if (!end) return false;
    for (const Work& work : stage.works) {
      for (const int due : due_offsets(work, *end - start)) {
        if (binds_start(work, due) && !turn_day(book_, work, start, due, *end - start))
          return false;
      }
    }
    return true;
  }

  bool may_wait(std::size_t s, Day end, Day next) const {
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

  /// What stage `to` says of stage `from`, whose end and start are known; and the wait between
  /// them.
  bool agree(std::size_t from, Day from_start, Day from_end, std::size_t to, Day to_start) const {
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

  /// All plans that are ready on a day.
  void plans(Day ready, const std::function<void(const Starts&)>& found) {
    if (!works_on(book_, ready)) return;
    ready_ = ready;
    found_ = &found;
    starts_.assign(book_.stages.size(), 0);
    ends_.assign(book_.stages.size(), 0);
    descend(book_.stages.size());
  }

  /// Nothing starts before this day, unless it was recorded.
  void start_from(std::optional<Day> first) { first_ = first; }
  /// Stages that start on these days.
  void hold(std::vector<std::optional<Day>> held) { held_ = std::move(held); }

  const Book& book() const { return book_; }
  int follower(std::size_t s) const { return follower_[s]; }

 private:
  bool agrees_within(const Stage& stage, std::size_t from, Day from_start, Day from_end,
                     std::size_t to, Day to_start) const {
    if (!stage.within || stage.within->stage != static_cast<int>(from)) return true;
    if (recorded(from, stage.within->of_end) && recorded(to, false)) return true;
    const Day gap = to_start - (stage.within->of_end ? from_end : from_start);
    return gap >= stage.within->low && gap <= stage.within->high;
  }

  /// Chooses the stages from the last one back: each has to reach the one that takes its plants.
  void descend(std::size_t left) {
    if (left == 0) {
      (*found_)(starts_);
      return;
    }
    const std::size_t s = left - 1;
    const int next = follower_[s];
    const Day until = next < 0 ? ready_ : starts_[static_cast<std::size_t>(next)];
    for (Day start = until; start >= until - longest_step; --start) {
      if (!held_.empty() && held_[s] && *held_[s] != start) continue;
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

  const Book& book_;
  std::vector<const Pin*> pins_;
  mutable std::vector<std::unordered_map<Day, bool>> suits_;  ///< by stage: days looked at before
  std::vector<int> follower_;
  std::optional<Day> first_;
  std::vector<std::optional<Day>> held_;
  Day ready_ = 0;
  const std::function<void(const Starts&)>* found_ = nullptr;
  Starts starts_, ends_;
};

struct Found {
  Starts starts;
  Day ready = 0;
};

/// Of all plans ready on a day the one in which everything is latest, or earliest.
std::optional<Found> extreme(Search& search, Day ready, bool latest) {
  std::optional<Found> out;
  search.plans(ready, [&](const Starts& starts) {
    if (!out) {
      out = Found{starts, ready};
      return;
    }
    for (std::size_t s = 0; s < starts.size(); ++s) {
      out->starts[s] =
          latest ? std::max(out->starts[s], starts[s]) : std::min(out->starts[s], starts[s]);
    }
  });
  return out;
}

/// Days that pins leave for the day of delivery.
std::pair<Day, Day> near_pins(const Book& book, Day first, Day last) {
  for (const Pin& pin : book.pins) {
    first = std::max(first, pin.day - 5 * longest_step);
    last = std::min(last, pin.day + 5 * longest_step);
  }
  return {first, last};
}

std::optional<Found> latest_by(Search& search, Day ready) {
  const auto [first, last] = near_pins(search.book(), ready - farthest, ready);
  for (Day day = last; day >= first; --day) {
    if (auto found = extreme(search, day, true)) return found;
  }
  return std::nullopt;
}

std::optional<Found> earliest_from(Search& search, Day start) {
  search.start_from(start);
  const auto [first, last] = near_pins(search.book(), start - 60, start + farthest);
  for (Day day = first; day <= last; ++day) {
    if (auto found = extreme(search, day, false)) return found;
  }
  return std::nullopt;
}

bool under_way(const Search& search) {
  for (std::size_t s = 0; s < search.book().stages.size(); ++s) {
    const bool first = search.book().stages[s].takes.empty();
    if (first && (search.recorded(s, false) || search.recorded(s, true))) return true;
  }
  return false;
}

/// First stages that start on the day of the batch; such as were recorded before all others.
std::vector<std::size_t> first_stages(const Search& search, const Starts& starts, Day day) {
  const bool begun = under_way(search);
  std::vector<std::size_t> out;
  for (std::size_t s = 0; s < starts.size(); ++s) {
    if (!search.book().stages[s].takes.empty()) continue;
    const bool known = search.recorded(s, false) || search.recorded(s, true);
    if (begun ? known : starts[s] == day) out.push_back(s);
  }
  return out;
}

std::optional<Found> started_on(Search& search, Day day) {
  const auto earliest = earliest_from(search, day);
  if (!earliest) return std::nullopt;
  const auto able = first_stages(search, earliest->starts, day);
  if (able.empty()) return std::nullopt;
  const auto latest = extreme(search, earliest->ready, true);
  std::size_t first = able.front();
  for (const std::size_t s : able) {
    if (latest->starts[s] < latest->starts[first]) first = s;
  }
  std::vector<std::optional<Day>> held(earliest->starts.size());
  for (int s = static_cast<int>(first); s >= 0; s = search.follower(static_cast<std::size_t>(s))) {
    held[static_cast<std::size_t>(s)] = earliest->starts[static_cast<std::size_t>(s)];
  }
  search.hold(held);
  return extreme(search, earliest->ready, true);
}

/// What nature can make of the dates of a plan.
class Ranges {
 public:
  Ranges(const Search& search, Plan& plan) : search_(search), plan_(plan) {}

  void run() {
    find_open();
    for (const bool slow : {false, true}) {
      settle(slow);
      for (std::size_t s = 0; s < plan_.stages.size(); ++s) {
        StagePlan& stage = plan_.stages[s];
        if (!slow) stage.earliest = std::min(stage.end, ends_[s]);
        if (slow) stage.latest = std::max(stage.end, ends_[s]);
      }
    }
  }

 private:
  static constexpr Day never = 0;

  const Stage& stage(std::size_t s) const { return search_.book().stages[s]; }

  /// A date is open when nature can move it: the end of a stage of uncertain length, and whatever
  /// is tied to an open date.
  void find_open() {
    const std::size_t n = plan_.stages.size();
    start_open_.assign(n, false);
    end_open_.assign(n, false);
    for (std::size_t round = 0; round <= n; ++round) {
      for (std::size_t s = 0; s < n; ++s) {
        bool tied = false;
        for (const int from : stage(s).takes)
          tied = tied || end_open_[static_cast<std::size_t>(from)];
        if (stage(s).after)
          tied = tied || end_open_[static_cast<std::size_t>(stage(s).after->stage)];
        if (stage(s).within) {
          const auto other = static_cast<std::size_t>(stage(s).within->stage);
          tied = tied || (stage(s).within->of_end ? end_open_[other] : start_open_[other]);
        }
        start_open_[s] = tied && search_.pin(s, false) == nullptr;
        const bool uncertain = stage(s).shortest != stage(s).longest;
        end_open_[s] = (uncertain || start_open_[s]) && search_.pin(s, true) == nullptr;
      }
    }
  }

  void settle(bool slow) {
    const std::size_t n = plan_.stages.size();
    starts_.clear();
    ends_.clear();
    for (std::size_t s = 0; s < n; ++s) {
      starts_.push_back(start_open_[s] ? never : plan_.stages[s].start);
      ends_.push_back(end_open_[s] ? never : plan_.stages[s].end);
    }
    for (std::size_t round = 0; round < 2 * n + 1; ++round) {
      const Starts before = starts_;
      for (std::size_t s = 0; s < n; ++s) {
        if (start_open_[s]) starts_[s] = start_of(s, slow);
        if (end_open_[s]) ends_[s] = range_end(s, slow);
      }
      if (before == starts_) return;
    }
    for (std::size_t s = 0; s < n; ++s) ends_[s] = plan_.stages[s].end;
  }

  Day range_end(std::size_t s, bool slow) const {
    const auto end = end_of(stage(s), starts_[s], slow ? stage(s).longest : stage(s).shortest);
    return end.value_or(starts_[s] + plan_.stages[s].end - plan_.stages[s].start);
  }

  Day next_suiting(std::size_t s, Day day) const {
    if (search_.recorded(s, false)) return day;
    for (Day at = day; at < day + farthest; ++at) {
      if (search_.day_suits(s, at)) return at;
    }
    return day;
  }

  Day start_of(std::size_t s, bool slow) const {
    Day low = never;
    std::optional<Day> high;
    for (const int from : stage(s).takes)
      low = std::max(low, ends_[static_cast<std::size_t>(from)]);
    if (stage(s).after) {
      const Day end = ends_[static_cast<std::size_t>(stage(s).after->stage)];
      low = std::max(low, end + stage(s).after->low.value_or(0));
      if (stage(s).after->high) high = end + *stage(s).after->high;
    }
    if (stage(s).within) {
      const auto other = static_cast<std::size_t>(stage(s).within->stage);
      const Day day = stage(s).within->of_end ? ends_[other] : starts_[other];
      low = std::max(low, day + stage(s).within->low);
      high = std::min(high.value_or(day + stage(s).within->high), day + stage(s).within->high);
    }
    const Day planned = plan_.stages[s].start;
    if (slow) return next_suiting(s, std::max(low, planned));
    if (!stage(s).takes.empty()) return next_suiting(s, low);
    for (Day day = std::min(planned, high.value_or(planned)); day >= low; --day) {
      if (search_.day_suits(s, day)) return day;
    }
    return next_suiting(s, low);
  }

  const Search& search_;
  Plan& plan_;
  std::vector<bool> start_open_, end_open_;
  Starts starts_, ends_;
};

/// By how many days a stage can end later before the batch is ready on another day.
class Float {
 public:
  Float(const Search& search, const Plan& plan, std::size_t stage)
      : search_(search), plan_(plan), stage_(stage), moves_(plan.stages.size(), false) {
    for (std::size_t s = stage + 1; s < plan.stages.size(); ++s) {
      const Stage& one = search.book().stages[s];
      const auto follows = [&](int from) {
        return from == static_cast<int>(stage_) || moves_[static_cast<std::size_t>(from)];
      };
      moves_[s] = std::any_of(one.takes.begin(), one.takes.end(), follows) ||
                  (one.after && follows(one.after->stage));
    }
  }

  int days() {
    if (search_.pin(stage_, true) != nullptr) return 0;
    for (int by = longest_step; by > 0; --by) {
      dates_ = plan_.stages;
      dates_[stage_].end += by;
      if (moved(stage_ + 1)) return by;
    }
    return 0;
  }

 private:
  /// Whether the stages from `s` on can follow, the ones before having their dates.
  bool moved(std::size_t s) {
    if (s == dates_.size()) return all_agree();
    if (!moves_[s]) return moved(s + 1);
    const StagePlan planned = plan_.stages[s];
    for (Day start = planned.start; start <= plan_.ready; ++start) {
      if (!search_.can_start(s, start)) continue;
      const auto end = search_.usual_end(s, start);
      if (!end || *end > plan_.ready) continue;
      dates_[s].start = start;
      dates_[s].end = *end;
      if (agree_up_to(s) && moved(s + 1)) return true;
    }
    dates_[s] = planned;
    return false;
  }

  bool agree_up_to(std::size_t s) const {
    for (std::size_t from = 0; from < s; ++from) {
      if (!search_.agree(from, dates_[from].start, dates_[from].end, s, dates_[s].start)) {
        return false;
      }
    }
    return true;
  }

  bool all_agree() const {
    for (std::size_t s = 0; s < dates_.size(); ++s) {
      if (!agree_up_to(s)) return false;
      if (search_.follower(s) < 0 && !search_.may_wait(s, dates_[s].end, plan_.ready)) return false;
    }
    return true;
  }

  const Search& search_;
  const Plan& plan_;
  std::size_t stage_;
  std::vector<bool> moves_;
  std::vector<StagePlan> dates_;
};

}  // namespace

std::optional<Plan> plan(const Book& book) {
  Search search(book);
  std::optional<Found> found;
  switch (book.date) {
    case Book::Date::ready:
      found = latest_by(search, book.day);
      break;
    case Book::Date::start:
      found = started_on(search, book.day);
      break;
    case Book::Date::not_before:
      found = earliest_from(search, book.day);
      if (found) found = extreme(search, found->ready, true);
      break;
  }
  if (!found) return std::nullopt;
  Plan out;
  out.ready = found->ready;
  for (std::size_t s = 0; s < book.stages.size(); ++s) {
    StagePlan stage;
    stage.start = found->starts[s];
    stage.end = *search.usual_end(s, stage.start);
    out.stages.push_back(stage);
  }
  Ranges(search, out).run();
  for (std::size_t s = 0; s < book.stages.size(); ++s) {
    out.stages[s].float_days = Float(search, out, s).days();
  }
  return out;
}

bool can_start_on(const Book& book, Day day) {
  Search search(book);
  const auto earliest = earliest_from(search, day);
  if (!earliest) return false;
  return !first_stages(search, earliest->starts, day).empty();
}

std::vector<std::optional<Day>> work_days(const Book& book, const Work& work, Day start, Day end) {
  std::vector<std::optional<Day>> out;
  for (const int due : due_offsets(work, end - start)) {
    out.push_back(turn_day(book, work, start, due, end - start));
  }
  return out;
}

}  // namespace budwood::reference
