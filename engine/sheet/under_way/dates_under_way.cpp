#include <algorithm>

#include "sheet/dates/conflict_words.hpp"
#include "sheet/dates/dates.hpp"

/// The dates of a batch that is under way, or that goes on from a day.
namespace budwood::sheet {

namespace {

/// Each round lets one limit give way by a day at least, so that many rounds are a fault of ours.
constexpr int most_rounds = 2000;
/// A season is waited for so many days; one that is further off is rather missed.
constexpr int longest_wait_for_season = 30;

}  // namespace

/// Nothing that is not known to be over happens before today. What leads to a recorded date is
/// over, on whatever day that was.
void DatePlanner::hold_to_today(const BatchFacts& batch) {
  if (!batch.today) return;
  std::vector<bool>& over = over_;
  over = recorded_;
  for (bool more = true; more;) {
    more = false;
    for (const DateLink& link : t_.dates.links) {
      if (link.within || !over[link.to] || over[link.from]) continue;
      over[link.from] = more = true;
    }
  }
  find_begun_by_themselves(*batch.today);
  // What has come through its last stage is ready, whenever it is fetched.
  over[finish()] = std::all_of(t_.dates.links.begin(), t_.dates.links.end(), [&](const auto& link) {
    return link.to != finish() || over[link.from];
  });
  for (network::PointId point = 0; point < over.size(); ++point) {
    if (over[point]) {
      // What is over was not held back by the day before which nothing was to start.
      if (!pinned_[point] && network_.point(point).not_before) {
        network_.set_not_before(point, window_of(batch).first);
      }
      if (point != finish() && by_itself_[point / 2] && point % 2 == 0) {
        network_.set_not_before(point, last_end_before(static_cast<std::int32_t>(point / 2)));
      }
      continue;
    }
    const std::optional<Day> bound = network_.point(point).not_before;
    network_.set_not_before(point, std::max(*batch.today, bound.value_or(*batch.today)));
  }
  for (const auto& [stage, day] : batch.lasted) {
    const auto end = DateLayout::end_of(stage);
    const std::optional<Day> bound = network_.point(end).not_before;
    if (!over[end]) network_.set_not_before(end, std::max(day + 1, bound.value_or(day + 1)));
  }
}

/// A stage of which the first day asks for no work begins without anybody when its plants stay in
/// their room and all that it waits for is known to be over. Nobody would note that.
void DatePlanner::find_begun_by_themselves(Day today) {
  by_itself_.assign(t_.stages.size(), false);
  for (std::int32_t s = 0; s < static_cast<std::int32_t>(t_.stages.size()); ++s) {
    const auto& stage = t_.protocol.stages[static_cast<std::size_t>(s)];
    if (over_[DateLayout::start_of(s)] || stage.takes.empty()) continue;
    if (language::changes_room(t_.protocol, stage)) continue;
    const network::Network::Link& length = network_.link(length_link(s));
    const int days =
        length.length != nullptr ? nominal_series_days : length.low.value_or(nominal_series_days);
    if (begins_by_work(stage, days)) continue;
    by_itself_[static_cast<std::size_t>(s)] =
        std::all_of(t_.dates.links.begin(), t_.dates.links.end(), [&](const DateLink& link) {
          const bool before = link.to == DateLayout::start_of(s) && !link.within;
          return !before || (recorded_[link.from] && *pinned_[link.from] <= today);
        });
  }
  for (std::int32_t s = 0; s < static_cast<std::int32_t>(t_.stages.size()); ++s) {
    if (by_itself_[static_cast<std::size_t>(s)]) over_[DateLayout::start_of(s)] = true;
  }
}

/// Of a stage of which all that it waits for was recorded.
Day DatePlanner::last_end_before(std::int32_t stage) const {
  Day last = calendar::first_day;
  for (const DateLink& link : t_.dates.links) {
    if (link.to == DateLayout::start_of(stage) && !link.within) {
      last = std::max(last, *pinned_[link.from]);
    }
  }
  return last;
}

bool DatePlanner::solve_under_way(const BatchFacts& asked, const Columns& columns,
                                  std::size_t row) {
  BatchFacts batch = asked;
  out_of_season_.clear();
  find_reaches(columns, row);
  if (!make_room(batch)) return false;
  hold_stretched();
  // As near to the season as can be.
  for (const network::PointId point : out_of_season_) {
    network_.set_not_after(point, days_[point]);
  }
  // What gave way first may not have had to, once others have.
  if (batch.ready) batch.ready = std::max(*asked.ready, days_.back());
  if (batch.start) batch.start = first_day_of_sources();
  if (!solve(batch)) return false;
  tell_deviations(asked, columns, row);
  return true;
}

/// The first day on which something of the batch starts, as its days are now.
Day DatePlanner::first_day_of_sources() const {
  Day first = calendar::last_day;
  for (std::int32_t s = 0; s < static_cast<std::int32_t>(t_.stages.size()); ++s) {
    if (takes(s).empty()) first = std::min(first, days_[DateLayout::start_of(s)]);
  }
  return first;
}

/// Lets limits give way until there is a plan, and leaves the earliest in `days_`; false when what
/// contradicts itself cannot.
bool DatePlanner::make_room(BatchFacts& batch) {
  network_.set_not_after(finish(), batch.ready);
  for (int round = 0; round < most_rounds; ++round) {
    if (solver_.earliest(network_, days_)) return true;
    const network::Conflict conflict = network::shortest_conflict(network_);
    const network::Fact* fact = first_to_give_way(conflict, batch);
    if (fact != nullptr && can_stretch(*fact, conflict)) {
      stretch(*fact, std::max(1, conflict.misses));
      continue;
    }
    if (fact == nullptr) {
      conflict_ = describe(conflict, batch);
      return false;
    }
    give_way(*fact, std::max(1, conflict.misses), batch);
  }
  return false;
}

/// How soon a fact gives way, 0 first; nothing when it does not.
std::optional<int> DatePlanner::turn_to_give_way(const network::Fact& fact,
                                                 const network::Conflict& conflict,
                                                 const BatchFacts& batch) {
  using Kind = network::Fact::Kind;
  const std::size_t written = t_.dates.links.size();
  if (can_stretch(fact, conflict)) return 0;
  switch (fact.kind) {
    case Kind::not_after:
      if (fact.id < recorded_.size() && recorded_[fact.id]) return std::nullopt;
      return fact.id == finish() ? 1 : 2;
    case Kind::link_high:
      if (fact.id >= written) return 4;
      return t_.dates.links[fact.id].kind == DateLink::Kind::after    ? 5
             : t_.dates.links[fact.id].kind == DateLink::Kind::length ? 6
                                                                      : 4;
    case Kind::length:
      return fact.id >= written ? 4 : 6;
    case Kind::allowed: {
      if (began_on_any_day(fact.id, batch)) return 0;
      const auto next = network_.point(fact.id).allowed->next(fact.day);
      return next && *next - fact.day <= longest_wait_for_season ? 7 : 3;
    }
    case Kind::link_low: {
      // Rather was a stage too short than that the next one began before it was over.
      const DateLink::Kind kind = t_.dates.links[fact.id].kind;
      const bool order = kind == DateLink::Kind::wait || kind == DateLink::Kind::finish;
      return order ? 9 : 8;
    }
    case Kind::not_before:
      break;
  }
  return std::nullopt;
}

/// Of a stage that has begun without anybody noting it, the day was whatever it was: work that
/// finds nobody is done late.
bool DatePlanner::began_on_any_day(network::PointId point, const BatchFacts& batch) {
  if (point == finish() || point % 2 != 0 || !over_[point] || recorded_[point]) return false;
  const calendar::DaySet* allowed = network_.point(point).allowed;
  // Once its season has given way, too, nothing is left of its days.
  return allowed != nullptr && allowed != &site_.working.days() &&
         allowed != own_season(point, batch);
}

const calendar::DaySet* DatePlanner::own_season(network::PointId start, const BatchFacts& batch) {
  return start_days_.of_season(static_cast<std::int32_t>(start / 2), window_of(batch));
}

const network::Fact* DatePlanner::first_to_give_way(const network::Conflict& conflict,
                                                    const BatchFacts& batch) {
  const network::Fact* first = nullptr;
  std::optional<int> best;
  for (const network::Fact& fact : conflict.facts) {
    const auto turn = turn_to_give_way(fact, conflict, batch);
    if (!turn || (best && *turn >= *best)) continue;
    best = turn;
    first = &fact;
  }
  return first;
}

void DatePlanner::give_way(const network::Fact& fact, int days, BatchFacts& batch) {
  using Kind = network::Fact::Kind;
  const auto written = static_cast<network::LinkId>(t_.dates.links.size());
  switch (fact.kind) {
    case Kind::not_after: {
      const Day day = *network_.point(fact.id).not_after + days;
      network_.set_not_after(fact.id, day);
      if (fact.id == finish()) batch.ready = day;
      break;
    }
    case Kind::link_high: {
      const network::Network::Link& link = network_.link(fact.id);
      network_.set_link(fact.id, link.low, *link.high + days);
      break;
    }
    case Kind::length:
      // The wait for a working day becomes a number of days, which gives way like any other.
      if (fact.id >= written) {
        network_.set_length(fact.id, nullptr);
        network_.set_link(fact.id, std::nullopt, 0);
      } else {
        free_length(fact.id);
      }
      break;
    case Kind::allowed: {
      if (began_on_any_day(fact.id, batch)) {
        network_.set_allowed(fact.id, own_season(fact.id, batch));
        break;
      }
      // Out of its season a stage still starts on a day on which somebody is there, if it can.
      const calendar::DaySet* working = &site_.working.days();
      const bool already = network_.point(fact.id).allowed == working;
      network_.set_allowed(fact.id, already ? nullptr : working);
      out_of_season_.push_back(fact.id);
      break;
    }
    case Kind::link_low: {
      const network::Network::Link& link = network_.link(fact.id);
      network_.set_link(fact.id, *link.low - days, link.high);
      break;
    }
    case Kind::not_before:
      break;
  }
}

/// A length that follows the temperatures becomes so many days as it takes from its start.
void DatePlanner::free_length(network::LinkId id) {
  const network::Network::Link& link = network_.link(id);
  const Day start = network_.point(link.from).not_before.value_or(calendar::first_day);
  const int length = link.length->end_of(start).value_or(start) - start;
  network_.set_length(id, nullptr);
  network_.set_link(id, length, length);
}

void DatePlanner::tell_deviations(const BatchFacts& asked, const Columns& columns,
                                  std::size_t row) {
  deviations_.clear();
  // What may have happened by today is told as what lies ahead where the plan puts it there.
  for (network::PointId point = 0; point < over_.size(); ++point) {
    over_[point] = over_[point] && days_[point] <= *asked.today;
  }
  for (std::size_t i = 0; i < t_.dates.links.size(); ++i) {
    const DateLink& link = t_.dates.links[i];
    switch (link.kind) {
      case DateLink::Kind::length:
        tell_length(link, columns, row);
        tell_start(link.stage);
        break;
      case DateLink::Kind::wait:
      case DateLink::Kind::finish:
        tell_wait(link, columns, row);
        break;
      case DateLink::Kind::after:
        tell_after(link, columns, row);
        break;
    }
  }
  for (const Pin& pin : asked.pins) tell_wanted(pin);
  tell_missed_start(asked);
  if (!asked.ready || days_.back() <= *asked.ready) return;
  const int late = days_.back() - *asked.ready;
  deviations_.push_back({Deviation::Kind::ready,
                         {},
                         false,
                         late,
                         "With what is left as long as usual it can be ready on " +
                             date_text(days_.back()) + " at the earliest, " + days_text(late) +
                             " after " + date_text(*asked.ready) + ".",
                         {}});
}

void DatePlanner::tell(Deviation::Kind kind, std::int32_t stage, bool happened, int days,
                       std::string text, const text::Span& span) {
  deviations_.push_back({kind, StageId(stage), happened, days, std::move(text), span});
}

/// The day that the batch was to start on.
void DatePlanner::tell_missed_start(const BatchFacts& asked) {
  if (!asked.start) return;
  const Day first = first_day_of_sources();
  if (first == *asked.start) return;
  deviations_.push_back({Deviation::Kind::wanted,
                         {},
                         first < *asked.today,
                         std::abs(first - *asked.start),
                         "The batch starts on " + date_text(first) + ", not on " +
                             date_text(*asked.start) + " as asked.",
                         {}});
}

/// Nature's range, not the usual length, is what a stage can be held to.
void DatePlanner::tell_length(const DateLink& link, const Columns& columns, std::size_t row) {
  const Day start = days_[link.from];
  const Day end = days_[link.to];
  const auto reach = reach_by_nature(link.stage, start, columns, row);
  if (!reach || (end >= reach->first && end <= reach->last)) return;
  const bool happened = over_[link.from] && over_[link.to];
  const int shortest = reach->first - start;
  const int longest = reach->last - start;
  const Day nearest = end > reach->last ? reach->last : reach->first;
  const bool by_site =
      language::follows_site(t_.protocol.stages[static_cast<std::size_t>(link.stage)]);
  const std::string says =
      by_site ? "by the temperatures of the site it takes " + days_text(nearest - start)
      : shortest == longest
          ? "the protocol says " + days_text(longest)
          : "the protocol says " + std::to_string(shortest) + " to " + days_text(longest);
  tell(Deviation::Kind::length, link.stage, happened, std::abs(end - nearest),
       stage_text(link.stage) + (happened ? " lasted " : " lasts ") + days_text(end - start) +
           "; " + says + ".",
       link.span);
}

void DatePlanner::tell_start(std::int32_t s) {
  const network::PointId point = DateLayout::start_of(s);
  const Day start = days_[point];
  const auto closed = closed_start(s, start);
  if (!closed) return;
  if (closed->kind == ClosedDays::Kind::season) {
    tell_out_of_season(s);
  } else if (!over_[point]) {
    tell_nobody_there(*closed);
  }
}

void DatePlanner::tell_out_of_season(std::int32_t s) {
  const language::Season& written = *t_.protocol.stages[static_cast<std::size_t>(s)].season;
  const network::PointId point = DateLayout::start_of(s);
  const calendar::DaySet season = calendar::season(written.first, written.last, site_.southern);
  const Day start = days_[point];
  const auto before = season.previous(start);
  const auto after = season.next(start);
  const int gap = std::min(before ? start - *before : calendar::last_day,
                           after ? *after - start : calendar::last_day);
  tell(Deviation::Kind::season, s, over_[point], gap,
       stage_text(s) + (over_[point] ? " started on " : " starts on ") + date_text(start) + ", " +
           days_text(gap) + " outside of its season, which goes from " +
           calendar::describe(written.first) + " to " + calendar::describe(written.last) + ".",
       written.span);
}

/// Work that must be done on a day on which nobody is there: it is done late.
void DatePlanner::tell_nobody_there(const ClosedDays& closed) {
  const auto s = static_cast<std::int32_t>(closed.stage.place());
  const std::string what = closed.kind == ClosedDays::Kind::move
                               ? "Carrying plants to " + room_text(s) + " for " + stage_text(s)
                               : "\"" + closed.work + "\" in " + stage_text(s);
  const std::string later =
      closed.within == 0 ? "" : ", nor within " + days_text(closed.within) + " after it";
  const auto done = site_.working.days().next(closed.due);
  tell(Deviation::Kind::work, s, false, done ? *done - closed.due : 0,
       what + " is due on " + date_text(closed.due) + ", when nobody works" + later + ".",
       closed.span);
}

void DatePlanner::tell_wait(const DateLink& link, const Columns& columns, std::size_t row) {
  const int waits = days_[link.to] - days_[link.from];
  const bool happened = over_[link.from] && over_[link.to];
  std::optional<int> most;
  if (link.to_working_day) {
    if (const auto day = working_day_wait_.end_of(days_[link.from])) most = *day - days_[link.from];
    // Who saw in the evening that a stage was over began the next one in the morning.
    const bool noted = recorded_[link.from] && recorded_[link.to];
    const auto morning = site_.working.days().next(days_[link.from] + 1);
    if (noted && most && morning) most = std::max(*most, *morning - days_[link.from]);
  } else if (link.bounded) {
    most = days_in(columns, link.high, row, link.fixed_high);
  }
  if (!most || waits <= *most) return;
  const std::string next = link.kind == DateLink::Kind::finish
                               ? "delivery"
                               : stage_text(static_cast<std::int32_t>(link.to / 2));
  tell(Deviation::Kind::wait, static_cast<std::int32_t>(link.from / 2), happened, waits - *most,
       "After " + stage_text(static_cast<std::int32_t>(link.from / 2)) + " plants " +
           (happened ? "waited " : "wait ") + days_text(waits) + " for " + next +
           "; they may wait " + (*most == 0 ? std::string("no day") : days_text(*most)) + ".",
       link.span);
}

void DatePlanner::tell_after(const DateLink& link, const Columns& columns, std::size_t row) {
  const auto low = days_in(columns, link.low, row, link.fixed_low);
  const auto high = days_in(columns, link.high, row, link.fixed_high);
  const int apart = days_[link.to] - days_[link.from];
  const bool happened = over_[link.from] && over_[link.to];
  const bool late = link.bounded && high && apart > *high;
  const bool early = low && apart < *low;
  if (!late && !early) return;
  const std::string from = std::string(link.from % 2 == 0 ? "the start of " : "the end of ") +
                           stage_text(static_cast<std::int32_t>(link.from / 2));
  tell(Deviation::Kind::after, static_cast<std::int32_t>(link.to / 2), happened,
       late ? apart - *high : *low - apart,
       stage_text(static_cast<std::int32_t>(link.to / 2)) + (happened ? " started " : " starts ") +
           days_text(apart) + " after " + from + "; the protocol says " +
           (late ? "at most " + days_text(*high) : "at least " + days_text(*low)) + ".",
       link.span);
}

void DatePlanner::tell_wanted(const Pin& pin) {
  if (pin.recorded) return;
  const auto s = static_cast<std::int32_t>(pin.stage.place());
  const Day planned = days_[pin.end ? DateLayout::end_of(s) : DateLayout::start_of(s)];
  if (planned == pin.day) return;
  tell(Deviation::Kind::wanted, s, false, std::abs(planned - pin.day),
       stage_text(s) + (pin.end ? " ends on " : " starts on ") + date_text(planned) + ", not on " +
           date_text(pin.day) + " as the batch says.",
       pin.span);
}

}  // namespace budwood::sheet
