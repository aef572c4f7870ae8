#include <algorithm>

#include "sheet/dates/conflict_words.hpp"
#include "sheet/dates/dates.hpp"

/// Conflicts of dates in a grower's words.
namespace budwood::sheet {

using calendar::DaySet;
using language::Stage;

std::string date_text(Day day) {
  return std::string(calendar::long_name(calendar::weekday(day))) + " " + calendar::iso_date(day);
}

std::string DatePlanner::stage_text(std::int32_t stage) const {
  return "`" + t_.protocol.stages[static_cast<std::size_t>(stage)].name + "`";
}

/// Where a fact stands in time, so that a conflict can be told from its beginning.
std::size_t DatePlanner::time_rank(const network::Fact& fact) const {
  using Kind = network::Fact::Kind;
  const bool of_link =
      fact.kind == Kind::link_low || fact.kind == Kind::link_high || fact.kind == Kind::length;
  const std::uint32_t point = of_link ? network_.link(fact.id).from : fact.id;
  const auto place =
      std::find(t_.dates.order.begin(), t_.dates.order.end(), static_cast<std::int32_t>(point / 2));
  const auto stage = static_cast<std::size_t>(place - t_.dates.order.begin());
  return 4 * stage + 2 * (point % 2) + (of_link ? 1 : 0);
}

/// Told in the order of time, one sentence a fact. Of closed days and days out of season, which may
/// come back from year to year, the ones nearest the batch's date are told.
DateConflict DatePlanner::describe(const network::Conflict& conflict,
                                   const BatchFacts& batch) const {
  std::vector<network::Fact> facts = conflict.facts;
  const Day near = batch.ready.value_or(batch.first_day().value_or(calendar::first_day));
  const auto rank = [&](const network::Fact& fact) {
    const bool dated = fact.kind == network::Fact::Kind::allowed;
    return std::pair(time_rank(fact), dated ? std::abs(fact.day - near) : 0);
  };
  std::stable_sort(facts.begin(), facts.end(),
                   [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
  DateConflict out;
  out.misses = conflict.misses;
  for (const network::Fact& fact : facts) {
    // A season that was looked for from year to year up to the edge of the plan fits in none.
    if (is_edge(fact, batch)) {
      out.misses = 0;
      continue;
    }
    DateConflict::Line line = describe(fact, batch);
    const bool said = std::any_of(out.lines.begin(), out.lines.end(), [&](const auto& other) {
      return other.text == line.text ||
             (line.span.source != nullptr && fact.kind == network::Fact::Kind::allowed &&
              other.span.source == line.span.source && other.span.begin == line.span.begin);
    });
    if (!line.text.empty() && !said) out.lines.push_back(std::move(line));
  }
  out.repairs = repairs_of(conflict, batch);
  return out;
}

/// Whether a fact is only where the search for a plan ends, short of the ends of the calendar.
bool DatePlanner::is_edge(const network::Fact& fact, const BatchFacts& batch) const {
  using Kind = network::Fact::Kind;
  const DayWindow window = window_of(batch);
  const auto is_edge = [&](Day day) {
    return (day <= window.first && window.first > calendar::first_day) ||
           (day >= window.last && window.last < calendar::last_day);
  };
  if (fact.kind == Kind::allowed) return is_edge(fact.day);
  return fact.kind == Kind::not_before && !batch.first_day() &&
         is_edge(*network_.point(fact.id).not_before);
}

DateConflict::Line DatePlanner::describe(const network::Fact& fact, const BatchFacts& batch) const {
  using Kind = network::Fact::Kind;
  if (fact.kind == Kind::link_low || fact.kind == Kind::link_high || fact.kind == Kind::length) {
    const std::size_t own = t_.dates.links.size();
    const bool limit = fact.id >= own;
    const std::size_t link = limit ? limited_links_[fact.id - own] : fact.id;
    return describe_link(t_.dates.links[link], limit || fact.kind == Kind::link_high);
  }
  if (fact.kind != Kind::allowed) return describe_date(fact, batch);
  if (fact.day == calendar::last_day && !site_.stand_in) {
    return {"Plans go no further than " + date_text(calendar::last_day) + ".", {}};
  }
  if (fact.id + 1 == network_.point_count()) {
    return {
        "Nobody works on " + date_text(fact.day) + ", and plants are handed over on working days.",
        {}};
  }
  return describe_closed_day(static_cast<std::int32_t>(fact.id / 2), fact.day);
}

/// A date that the batch sets, or the edge of the calendar.
DateConflict::Line DatePlanner::describe_date(const network::Fact& fact,
                                              const BatchFacts& batch) const {
  if (site_.stand_in) return {};  // the day on which a protocol is tried means nothing to anybody
  const bool before = fact.kind == network::Fact::Kind::not_before;
  const network::Network::Point& point = network_.point(fact.id);
  if (fact.id + 1 == network_.point_count()) {
    return {"The batch must be ready by " + date_text(*point.not_after) + ".", {}};
  }
  const Day day = before ? *point.not_before : *point.not_after;
  const auto s = static_cast<std::int32_t>(fact.id / 2);
  for (const Pin& pin : batch.pins) {
    if (pin.stage != s || pin.end != (fact.id % 2 == 1) || pin.day != day) continue;
    return {stage_text(s) + (pin.end ? " ends on " : " starts on ") + date_text(day) +
                (pin.recorded ? ", as recorded." : ", as the batch says."),
            pin.span};
  }
  if (batch.start) return {"The batch starts on " + date_text(day) + ".", {}};
  if (batch.not_before) return {"The batch starts on " + date_text(day) + " or later.", {}};
  return {"Plans go no further back than " + date_text(day) + ".", {}};
}

/// What keeps a stage from starting on a day: its season, or the first work that finds nobody.
std::optional<ClosedDays> DatePlanner::closed_start(std::int32_t s, Day start) const {
  const Stage& stage = t_.protocol.stages[static_cast<std::size_t>(s)];
  ClosedDays closed;
  closed.first = closed.last = start;
  closed.stage = StageId(s);
  if (stage.season &&
      !calendar::season(stage.season->first, stage.season->last, site_.southern).contains(start)) {
    closed.kind = ClosedDays::Kind::season;
    closed.span = stage.season->span;
    return closed;
  }
  const int length = length_from(s, start);
  const StageReach reach = reach_of(start, length);
  for (const language::Work& work : stage.works) {
    for (const int due : due_days(work.timing, length)) {
      if (!must_find_people(work, due)) continue;
      if (work_day(work, start + due, reach, site_.working)) continue;
      closed.work = work.title;
      closed.due = start + due;
      closed.within = latest_day(work, closed.due, reach.last) - closed.due;
      closed.cut_short = closed.within < work.timing.within;
      closed.span = work.span;
      return closed;
    }
  }
  if (language::changes_room(t_.protocol, t_.protocol.stages[static_cast<std::size_t>(s)]) &&
      !site_.working.works(start)) {
    closed.kind = ClosedDays::Kind::move;
    closed.due = start;
    closed.span = stage.room_span;
    return closed;
  }
  return std::nullopt;
}

/// How long a stage lasts that starts on a day.
int DatePlanner::length_from(std::int32_t s, Day start) const {
  const network::Network::Link& bounds = network_.link(length_link(s));
  if (bounds.length == nullptr) return bounds.low.value_or(0);
  return bounds.length->end_of(start).value_or(start) - start;
}

network::LinkId DatePlanner::length_link(std::int32_t s) const {
  const auto& links = t_.dates.links;
  const auto found = std::find_if(links.begin(), links.end(), [&](const DateLink& link) {
    return link.kind == DateLink::Kind::length && link.stage == s;
  });
  return static_cast<network::LinkId>(found - links.begin());
}

DateConflict::Line DatePlanner::describe_closed_day(std::int32_t s, Day start) const {
  const Stage& stage = t_.protocol.stages[static_cast<std::size_t>(s)];
  const auto closed = closed_start(s, start);
  if (closed && closed->kind == ClosedDays::Kind::season) {
    return {season_text(s, start), stage.season->span};
  }
  if (closed && closed->kind == ClosedDays::Kind::move) {
    return {"Plants are carried to " + room_text(s) + " for " + stage_text(s) +
                ", and nobody works on " + date_text(start) + ".",
            closed->span};
  }
  const DaySet* possible = network_.point(DateLayout::start_of(s)).allowed;
  if (possible != nullptr && possible->empty()) {
    return {"Whatever day " + stage_text(s) +
                " starts on, some of its work with a crew falls on a day on which nobody works.",
            stage.span};
  }
  if (!closed) {
    return {"Work in " + stage_text(s) + " cannot start on " + date_text(start) + ".", stage.span};
  }
  const bool at_once = closed->due == start;
  const std::string later =
      (closed->within == 0 ? "" : " or within " + days_text(closed->within) + " after it") +
      (closed->cut_short ? ", and then the stage is over" : "");
  return {"\"" + closed->work + "\" in " + stage_text(s) + " needs people" +
              (at_once ? ""
                       : "; with a start on " + date_text(start) + " it is due on " +
                             date_text(closed->due)) +
              ", but nobody works on " + (at_once ? date_text(start) : "that day") + later + ".",
          closed->span};
}

std::string DatePlanner::season_text(std::int32_t s, Day start) const {
  const language::Season& season = *t_.protocol.stages[static_cast<std::size_t>(s)].season;
  std::string out = stage_text(s) + " starts from " + calendar::describe(season.first) + " to " +
                    calendar::describe(season.last);
  if (site_.southern) out += ", moved by half a year south of the equator";
  if (site_.stand_in) return out + ".";
  return out + "; it would have to start on " + date_text(start) + ".";
}

/// A stage that the temperatures never bring to its end, whatever day it starts on.
DateConflict DatePlanner::describe_never_over(std::int32_t s) const {
  const Stage& stage = t_.protocol.stages[static_cast<std::size_t>(s)];
  DateConflict out;
  const DateConflict::Line known = describe_link(t_.dates.links[length_link(s)], false);
  out.lines.push_back({stage_text(s) + " is never over: whatever day it starts on, the site's "
                                       "temperatures do not bring what it waits for.",
                       stage.length_span});
  if (known.text.find("known from") != std::string::npos) out.lines.push_back(known);
  out.repairs.push_back({"Ask for less in " + stage_text(s) + ", or keep a temperature in it."});
  return out;
}

std::string DatePlanner::room_text(std::int32_t s) const {
  return "`" + t_.protocol.stages[static_cast<std::size_t>(s)].room + "`";
}

DateConflict::Line DatePlanner::describe_link(const DateLink& link, bool high) const {
  const auto id = static_cast<network::LinkId>(&link - t_.dates.links.data());
  const network::Network::Link& bounds = network_.link(id);
  const int bound = high ? bounds.high.value_or(0) : bounds.low.value_or(0);
  const auto name_at = [&](std::uint32_t point) {
    const std::size_t s = point / 2;
    return s < t_.stages.size() ? stage_text(static_cast<std::int32_t>(s))
                                : std::string("delivery");
  };
  switch (link.kind) {
    case DateLink::Kind::length:
      if (link.by_series && !site_.series) {
        return {stage_text(link.stage) + " lasts as long as the site's temperatures make it.",
                link.span};
      }
      if (link.by_series) {
        // Normals come back every year and have no end that a grower knows of.
        const bool always = site_.series->first_day() <= calendar::first_day &&
                            site_.series->last_day() >= calendar::last_day;
        return {stage_text(link.stage) + " lasts as long as the site's temperatures make it" +
                    (always ? "."
                            : "; they are known from " + date_text(site_.series->first_day()) +
                                  " to " + date_text(site_.series->last_day()) + "."),
                link.span};
      }
      // What is over on its first day takes no days; its place in the order is no news.
      if (bound == 0) return {};
      return {stage_text(link.stage) + " lasts " + days_text(bound) + ".", link.span};
    case DateLink::Kind::after:
      if (!high && bound == 0) {
        return {name_at(link.to) + " comes after " + name_at(link.from) + ".", link.span};
      }
      return {name_at(link.to) + " starts " + (high ? "at most " : "at least ") + days_text(bound) +
                  " after " + (link.from % 2 == 0 ? "the start of " : "") + name_at(link.from) +
                  ".",
              link.span};
    case DateLink::Kind::wait:
    case DateLink::Kind::finish:
      break;
  }
  if (!high) return {};  // stages come in their order
  if (link.to_working_day) {
    return {"After " + name_at(link.from) + " plants wait for " + name_at(link.to) +
                " only until the next working day, " + days_text(WorkingDayWait::most) +
                " at most.",
            link.span};
  }
  if (bound == 0) {
    return {name_at(link.to) + " follows " + name_at(link.from) + " at once.", link.span};
  }
  return {"After " + name_at(link.from) + " plants wait at most " + days_text(bound) + " for " +
              name_at(link.to) + ".",
          link.span};
}

}  // namespace budwood::sheet
