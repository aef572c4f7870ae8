#include <algorithm>
#include <set>

#include "sheet/dates/conflict_words.hpp"
#include "sheet/dates/dates.hpp"

/// What would give a batch dates again: for each fact that people can change, the smallest change
/// of it alone.
namespace budwood::sheet {

namespace {

bool is_wait(const DateLink& link) {
  return link.kind == DateLink::Kind::wait || link.kind == DateLink::Kind::finish;
}

}  // namespace

std::vector<DateConflict::Repair> DatePlanner::repairs_of(const network::Conflict& conflict,
                                                          const BatchFacts& batch) const {
  std::vector<DateConflict::Repair> out;
  for (const network::Repair& repair : network::repairs(network_, conflict)) {
    DateConflict::Repair found = repair_of(repair, batch);
    const bool said = std::any_of(out.begin(), out.end(),
                                  [&](const auto& other) { return other.text == found.text; });
    if (!found.text.empty() && !said) out.push_back(std::move(found));
  }
  return out;
}

DateConflict::Repair DatePlanner::repair_of(const network::Repair& repair,
                                            const BatchFacts& batch) const {
  using Kind = network::Fact::Kind;
  const network::Fact& fact = repair.fact;
  if (is_of_link(fact) && fact.id >= t_.dates.links.size()) return {repair_wait(repair)};
  switch (fact.kind) {
    case Kind::link_low:
    case Kind::link_high:
      return {repair_link(repair)};
    case Kind::length:
      return {};  // what temperatures make of a stage does not give way
    case Kind::allowed:
      return {repair_closed_days(repair)};
    case Kind::not_after:
    case Kind::not_before:
      break;
  }
  return site_.stand_in ? DateConflict::Repair{} : repair_date(repair, batch);
}

/// Another day for a date that the batch sets.
DateConflict::Repair DatePlanner::repair_date(const network::Repair& repair,
                                              const BatchFacts& batch) const {
  const network::Fact& fact = repair.fact;
  const bool later = fact.kind == network::Fact::Kind::not_after;
  const Day day = repair.bound;
  if (fact.id + 1 == network_.point_count()) {
    return {"Have it ready " + days_text(repair.by) + " later, by " + date_text(day) + ".", "ready",
            day};
  }
  const std::string moved = days_text(repair.by) + (later ? " later" : " earlier");
  const auto s = static_cast<std::int32_t>(fact.id / 2);
  const Day now = later ? day - repair.by : day + repair.by;
  for (const Pin& pin : batch.pins) {
    if (pin.stage != s || pin.end != (fact.id % 2 == 1)) continue;
    // One bound holds both dates; without that of the pin nothing is known to help.
    if (!later && day < pin.day && pin.day != now) return {};
    if (pin.day == now) {
      // What has happened can be written wrongly, but not be moved.
      if (pin.recorded) {
        return {"Mend the record, if it is wrong: " + stage_text(s) +
                (pin.end ? " ended " : " started ") + moved + ", on " + date_text(day) + "."};
      }
      const std::string side = pin.end ? "end" : "start";
      return {"Move the " + side + " of " + stage_text(s) + " " + moved + ", to " + date_text(day) +
                  ".",
              t_.protocol.stages[static_cast<std::size_t>(s)].name + "." + side, day};
    }
  }
  // A batch with `start` has the nearest day told; without a date this is the edge of the calendar.
  if (!batch.not_before) return {};
  return {"Let the batch start " + moved + ", not before " + date_text(day) + ".", "not_before",
          day};
}

/// Instead of the wait for the next working day.
std::string DatePlanner::repair_wait(const network::Repair& repair) const {
  const DateLink& link = t_.dates.links[limited_links_[repair.fact.id - t_.dates.links.size()]];
  return "Let plants wait up to " + days_text(repair.bound) + " after " + stage_text(link.stage) +
         " (`may wait " + days_text(repair.bound) + "`).";
}

/// Nature's lengths do not give way; waits and the bounds that a grower wrote do.
std::string DatePlanner::repair_link(const network::Repair& repair) const {
  const DateLink& link = t_.dates.links[repair.fact.id];
  const bool high = repair.fact.kind == network::Fact::Kind::link_high;
  if (is_wait(link)) {
    if (!high) return "";  // what follows cannot come first
    return "Let plants wait up to " + days_text(repair.bound) + " after " + stage_text(link.stage) +
           " (`may wait " + days_text(repair.bound) + "`).";
  }
  if (link.kind != DateLink::Kind::after || (repair.bound < 0 && !link.within)) return "";
  return std::string("Allow ") + (high ? "up to " : "as few as ") + days_text(repair.bound) +
         (link.within ? " for `starts within` in " : " for `after` in ") + stage_text(link.stage) +
         ".";
}

/// Words for a start out of season; none when the day lies in it.
std::string DatePlanner::repair_season(std::int32_t s, Day start) const {
  const auto& season = t_.protocol.stages[static_cast<std::size_t>(s)].season;
  if (!season || calendar::season(season->first, season->last, site_.southern).contains(start)) {
    return "";
  }
  if (!site_.stand_in)
    return "Start " + stage_text(s) + " out of season, on " + date_text(start) + ".";
  const calendar::Date date = calendar::date_of(start);
  return "Let the season of " + stage_text(s) + " take in " +
         calendar::describe({date.month, date.day}) + ".";
}

/// The day to allow is a day of the point; what must be worked on are closed days near it.
std::string DatePlanner::repair_closed_days(const network::Repair& repair) const {
  const std::uint32_t point = repair.fact.id;
  if (point + 1 == network_.point_count()) {
    return "Work on " + date_text(repair.bound) + ", to hand the plants over.";
  }
  const auto s = static_cast<std::int32_t>(point / 2);
  const std::string in_season = repair_season(s, repair.bound);
  if (point % 2 == 1 || !in_season.empty()) return in_season;
  const int days = length_from(s, repair.bound);
  const StageReach reach = reach_of(repair.bound, days);
  std::set<Day> closed;
  if (language::changes_room(t_.protocol, t_.protocol.stages[static_cast<std::size_t>(s)]) &&
      !site_.working.works(repair.bound)) {
    closed.insert(repair.bound);
  }
  for (const language::Work& work : t_.protocol.stages[static_cast<std::size_t>(s)].works) {
    for (const int due : due_days(work.timing, days)) {
      const Day day = repair.bound + due;
      if (must_find_people(work, due) && !work_day(work, day, reach, site_.working)) {
        closed.insert(day);
      }
    }
  }
  if (closed.empty()) return "";
  std::vector<std::string> days_closed;
  for (const Day day : closed) days_closed.push_back(date_text(day));
  return "Work on " + text::list_words(days_closed) + ", so that " + stage_text(s) +
         " can start on " + date_text(repair.bound) + ".";
}

}  // namespace budwood::sheet
