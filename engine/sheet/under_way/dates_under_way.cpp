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
      continue;
    }
    const std::optional<Day> bound = network_.point(point).not_before;
    network_.set_not_before(point, std::max(*batch.today, bound.value_or(*batch.today)));
  }
}

bool DatePlanner::solve_under_way(const BatchFacts& asked, const Columns& columns,
                                  std::size_t row) {
  BatchFacts batch = asked;
  out_of_season_.clear();
  if (!make_room(batch)) return false;
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
    const network::Fact* fact = first_to_give_way(conflict);
    if (fact == nullptr) {
      conflict_ = describe(conflict, batch);
      return false;
    }
    give_way(*fact, std::max(1, conflict.misses), batch);
  }
  return false;
}

/// How soon a fact gives way, 0 first; nothing when it does not.
std::optional<int> DatePlanner::turn_to_give_way(const network::Fact& fact) const {
  using Kind = network::Fact::Kind;
  const std::size_t written = t_.dates.links.size();
  switch (fact.kind) {
    case Kind::not_after:
      if (fact.id < recorded_.size() && recorded_[fact.id]) return std::nullopt;
      return fact.id == finish() ? 0 : 1;
    case Kind::link_high:
      if (fact.id >= written) return 3;
      return t_.dates.links[fact.id].kind == DateLink::Kind::after    ? 4
             : t_.dates.links[fact.id].kind == DateLink::Kind::length ? 5
                                                                      : 3;
    case Kind::length:
      return fact.id >= written ? 3 : 5;
    case Kind::allowed: {
      const auto next = network_.point(fact.id).allowed->next(fact.day);
      return next && *next - fact.day <= longest_wait_for_season ? 6 : 2;
    }
    case Kind::link_low:
      return 7;
    case Kind::not_before:
      break;
  }
  return std::nullopt;
}

const network::Fact* DatePlanner::first_to_give_way(const network::Conflict& conflict) const {
  const network::Fact* first = nullptr;
  std::optional<int> best;
  for (const network::Fact& fact : conflict.facts) {
    const auto turn = turn_to_give_way(fact);
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
  const StageCells& cells = t_.stages[static_cast<std::size_t>(link.stage)];
  if (language::follows_site(t_.protocol.stages[static_cast<std::size_t>(link.stage)])) {
    tell_series_length(link, columns, row);
    return;
  }
  const auto shortest = days_in(columns, cells.shortest, row, 0);
  const auto longest = days_in(columns, cells.longest, row, 0);
  const int lasts = days_[link.to] - days_[link.from];
  const bool happened = over_[link.from] && over_[link.to];
  if (!shortest || !longest) return;
  if (lasts >= *shortest && lasts <= *longest) return;
  const std::string says = *shortest == *longest
                               ? days_text(*longest)
                               : std::to_string(*shortest) + " to " + days_text(*longest);
  tell(Deviation::Kind::length, link.stage, happened,
       lasts > *longest ? lasts - *longest : *shortest - lasts,
       stage_text(link.stage) + (happened ? " lasted " : " lasts ") + days_text(lasts) +
           "; the protocol says " + says + ".",
       link.span);
}

/// What a stage takes by the site's temperatures, or by its gate, is all that it can be held to.
void DatePlanner::tell_series_length(const DateLink& link, const Columns& columns,
                                     std::size_t row) {
  const StageCells& cells = t_.stages[static_cast<std::size_t>(link.stage)];
  const Day start = days_[link.from];
  const auto end_by = [&](CellId sum) {
    const SeriesLength* length = series_lengths_.find(link.stage, sum, columns, row);
    return length == nullptr ? std::nullopt : length->end_of(start);
  };
  const auto slow = end_by(cells.longest);
  const auto quick = end_by(cells.shortest);
  if (!slow || !quick) return;
  const auto limit = days_in(columns, cells.gate_limit, row, 0);
  const Day latest = std::max(*slow, start + limit.value_or(0));
  const Day end = days_[link.to];
  if (end >= *quick && end <= latest) return;
  const bool happened = over_[link.from] && over_[link.to];
  const Day nearest = end > latest ? latest : *quick;
  tell(Deviation::Kind::length, link.stage, happened, std::abs(end - nearest),
       stage_text(link.stage) + (happened ? " lasted " : " lasts ") + days_text(end - start) +
           "; by the temperatures of the site it takes " + days_text(nearest - start) + ".",
       link.span);
}

void DatePlanner::tell_start(std::int32_t s) {
  const language::Stage& stage = t_.protocol.stages[static_cast<std::size_t>(s)];
  const network::PointId point = DateLayout::start_of(s);
  if (!stage.season) return;
  const calendar::DaySet season =
      calendar::season(stage.season->first, stage.season->last, site_.southern);
  const Day start = days_[point];
  if (season.contains(start)) return;
  const auto before = season.previous(start);
  const auto after = season.next(start);
  const int gap = std::min(before ? start - *before : calendar::last_day,
                           after ? *after - start : calendar::last_day);
  tell(Deviation::Kind::season, s, over_[point], gap,
       stage_text(s) + (over_[point] ? " started on " : " starts on ") + date_text(start) + ", " +
           days_text(gap) + " outside of its season, which goes from " +
           calendar::describe(stage.season->first) + " to " +
           calendar::describe(stage.season->last) + ".",
       stage.season->span);
}

void DatePlanner::tell_wait(const DateLink& link, const Columns& columns, std::size_t row) {
  const int waits = days_[link.to] - days_[link.from];
  const bool happened = over_[link.from] && over_[link.to];
  std::optional<int> most;
  if (link.to_working_day) {
    if (const auto day = working_day_wait_.end_of(days_[link.from])) most = *day - days_[link.from];
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
