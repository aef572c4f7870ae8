#include "planner.hpp"

#include <algorithm>
#include <functional>

#include "search.hpp"

namespace budwood::reference {

namespace {

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

/// The first day from one on that can be reached, with everything as late as it may be.
std::optional<Found> soonest_after(Search& search, Day ready) {
  const auto [first, last] = near_pins(search.book(), ready, ready + farthest);
  for (Day day = first; day <= last; ++day) {
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
    const Day day = end.value_or(starts_[s] + plan_.stages[s].end - plan_.stages[s].start);
    return search_.too_early(s, true, day) ? *search_.book().today : day;
  }

  Day next_suiting(std::size_t s, Day day) const {
    if (search_.recorded(s, false)) return day;
    // A season of a day or two may fall on days that do not suit for some years.
    constexpr Day some_years = 12 * 366;
    const Day most = stage(s).season ? some_years : farthest;
    for (Day at = day; at < day + most; ++at) {
      if (search_.in_season(s, at) && search_.day_suits(s, at)) return at;
    }
    return day;
  }

  Day start_of(std::size_t s, bool slow) const {
    Day low = std::max(search_.too_early(s, false, never) ? *search_.book().today : never,
                       search_.first_start(s).value_or(never));
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

namespace {

std::optional<Found> find(Search& search) {
  const Book& book = search.book();
  switch (book.date) {
    case Book::Date::ready: {
      auto found = latest_by(search, book.day);
      return found || !book.today ? found : soonest_after(search, book.day + 1);
    }
    case Book::Date::start:
      return started_on(search, book.day);
    case Book::Date::not_before:
      break;
  }
  auto found = earliest_from(search, book.day);
  return found ? extreme(search, found->ready, true) : std::nullopt;
}

/// Ways to take `days` longer in all, from stage `s` on.
void spread(const Search& search, std::size_t s, int days, std::vector<int>& stretch,
            const std::function<void()>& found) {
  if (s == stretch.size()) {
    if (days == 0) found();
    return;
  }
  for (int by = std::min(days, search.room_to_stretch(s)); by >= 0; --by) {
    stretch[s] = by;
    spread(search, s + 1, days - by, stretch, found);
  }
  stretch[s] = 0;
}

/// Stages that have begun take longer, if that is the only way, and no longer than they have to.
std::optional<Found> find_with_stretch(Search& search) {
  std::optional<Found> out;
  int most = 0;
  for (std::size_t s = 0; s < search.book().stages.size(); ++s) most += search.room_to_stretch(s);
  for (int days = 0; days <= most && !out; ++days) {
    std::vector<int> stretch(search.book().stages.size(), 0);
    spread(search, 0, days, stretch, [&] {
      if (out) return;
      search.stretch(stretch);
      search.start_from(std::nullopt);
      search.hold({});
      out = find(search);
    });
  }
  return out;
}

}  // namespace

std::optional<Plan> plan(const Book& book) {
  Search search(book);
  const std::optional<Found> found = find_with_stretch(search);
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

bool keeps_to_all(const Book& book, const Plan& dates) {
  const Search search(book);
  for (std::size_t s = 0; s < dates.stages.size(); ++s) {
    const auto [start, end] = std::pair(dates.stages[s].start, dates.stages[s].end);
    // What began unnoted on a day without people is done late; that is no limit of the protocol.
    if (search.over(s, false) ? !search.in_season(s, start) : !search.can_start(s, start)) {
      return false;
    }
    if (search.pin(s, false) != nullptr && search.pin(s, false)->day != start) return false;
    if (search.too_early(s, true, end)) return false;
    if (search.pin(s, true) != nullptr && search.pin(s, true)->day != end) return false;
    if (!search.recorded(s, false) || !search.recorded(s, true)) {
      const Stage& stage = book.stages[s];
      const auto quick = end_of(stage, start, stage.shortest);
      const auto slow = end_of(stage, start, stage.longest);
      if (!quick || !slow || end < *quick || end > *slow) return false;
    }
    for (std::size_t to = s + 1; to < dates.stages.size(); ++to) {
      if (!search.agree(s, start, end, to, dates.stages[to].start)) return false;
    }
    if (search.follower(s) < 0 && !search.may_wait(s, end, dates.ready)) return false;
  }
  return true;
}

bool can_start_on(const Book& book, Day day) {
  Search search(book);
  const auto earliest = earliest_from(search, day);
  if (!earliest) return false;
  return !first_stages(search, earliest->starts, day).empty();
}

namespace {

/// What any of several days would do for, and nobody has done yet, is done on the first of them
/// from today on; when all are over, it stands on the last one.
Day not_yet_done(const Book& book, const Work& work, Day start, int due, int length, Day day) {
  if (work.when != Work::When::between || !book.today || day >= *book.today) return day;
  const int end = std::max(0, length - 1);
  const Day last = start + std::min(work.to == 0 ? end : work.to - 1, std::max(due, end));
  Day out = day;
  for (Day one = day; one <= last && out < *book.today; ++one) {
    if (!work.crew || next_working(book, one) == one) out = one;
  }
  return out;
}

}  // namespace

std::vector<std::optional<Day>> work_days(const Book& book, const Stage& stage, std::size_t number,
                                          Day start, Day end) {
  const Work& work = stage.works[number];
  const std::vector<int> dues = due_offsets(work, end - start);
  std::vector<std::optional<Day>> out;
  for (const int due : dues) {
    out.push_back(turn_day(book, work, start, due, end - start));
    // What must be done is done late rather than never, when the stage began on an odd day.
    if (book.today && !out.back() && binds_start(work, due))
      out.back() = next_working(book, start + due);
  }
  for (std::size_t i = 0; i < out.size(); ++i) {
    if (out[i]) out[i] = not_yet_done(book, work, start, dues[i], end - start, *out[i]);
  }
  if (!work.after) return out;
  const auto before = static_cast<std::size_t>(*work.after);
  const std::vector<int> turns = due_offsets(stage.works[before], end - start);
  const auto days = work_days(book, stage, before, start, end);
  for (std::size_t i = 0; i < out.size(); ++i) {
    for (std::size_t j = 0; out[i] && j < days.size(); ++j) {
      if (!days[j] || turns[j] > dues[i]) continue;
      const Day possible = *days[j] + (stage.works[before].overnight ? 1 : 0);
      if (possible > *out[i]) out[i] = work.crew ? next_working(book, possible) : possible;
    }
  }
  return out;
}

}  // namespace budwood::reference
