#include "report/why/closed_words.hpp"

namespace budwood::report {

namespace {

using calendar::Day;
using sheet::ClosedDays;

/// The line of site.yaml that closes a day.
text::Span closing_line(const book::Site& site, Day day) {
  for (const book::Closed& closed : site.closed) {
    if (closed.first <= day && day <= closed.last) return closed.span;
  }
  return {};
}

/// "14 March is a Sunday", "29 March is a closed day (site.yaml:13)"; without the verb, " a
/// Sunday".
std::string why_closed(const book::Site& site, Day day, const DayWords& words, bool verb) {
  const std::string reason = site.working.reason_closed(day);
  const bool by_hand = reason == "a closed day";
  return words.bare(day) + (verb ? " is " : " ") + (reason.empty() ? "closed" : reason) +
         (by_hand ? at(closing_line(site, day)) : "");
}

/// The days from `last` back to `first`, none of which people work on.
std::string days_closed(const book::Site& site, Day first, Day last, const DayWords& words) {
  constexpr int most_named = 3;
  if (last - first >= most_named) {
    return "nobody works from " + words(first) + " to " + words(last);
  }
  std::string out = why_closed(site, last, words, true);
  for (Day day = last - 1; day >= first; --day) out += ", " + why_closed(site, day, words, false);
  return out;
}

std::string season_words(const Asked& asked, const ClosedDays& closed) {
  const language::Stage& stage = asked.row.stage(closed.stage);
  return "`" + stage.name + "` starts only from " + calendar::describe(stage.season->first) +
         " to " + calendar::describe(stage.season->last) +
         (asked.row.sheet().site().southern ? ", moved by half a year south of the equator" : "");
}

/// What finds nobody: a work by its title, or what is not told apart.
std::string work_name(const ClosedDays& closed) {
  return closed.work.empty() ? "some of its work" : "\"" + closed.work + "\"";
}

/// Work that falls on another day than the start of its stage, or may fall later.
std::string late_work_words(const ClosedDays& closed, const std::string& work, Day first,
                            const book::Site& site, const DayWords& words) {
  const std::string over = closed.cut_short ? ", and then the stage is over" : "";
  if (closed.within > 0) {
    return work + " needs people, and nobody works from " + words(first) + " to " +
           words(closed.due + closed.within) + over;
  }
  return work + " would fall on " + words(closed.due) + ", and " +
         days_closed(site, first, closed.due, words) + over;
}

bool is_plain(const ClosedDays& closed) {
  return closed.within == 0 && closed.due == closed.last && !closed.cut_short;
}

}  // namespace

std::string closed_day_text(const Asked& asked, const ClosedDays& closed, const DayWords& words) {
  const book::Site& site = asked.plan.book->site;
  switch (closed.kind) {
    case ClosedDays::Kind::season:
      return season_words(asked, closed);
    case ClosedDays::Kind::hand_over:
      return days_closed(site, closed.last, closed.last, words) +
             " and plants are handed over on working days";
    case ClosedDays::Kind::move:
      return days_closed(site, closed.last, closed.last, words) +
             " and plants are carried to another room for " + asked.stage(closed.stage);
    case ClosedDays::Kind::work:
      break;
  }
  const std::string work = work_name(closed) + " in " + asked.stage(closed.stage);
  if (!is_plain(closed)) return late_work_words(closed, work, closed.due, site, words);
  return days_closed(site, closed.last, closed.last, words) + " and " + work + " needs people";
}

std::string closed_days_text(const Asked& asked, const ClosedDays& closed, const DayWords& words) {
  const book::Site& site = asked.plan.book->site;
  switch (closed.kind) {
    case ClosedDays::Kind::season:
      return season_words(asked, closed);
    case ClosedDays::Kind::hand_over:
      return "plants are handed over on working days, and " +
             days_closed(site, closed.first, closed.last, words);
    case ClosedDays::Kind::move:
      return "plants are carried to another room for it, and " +
             days_closed(site, closed.first, closed.last, words);
    case ClosedDays::Kind::work:
      break;
  }
  const Day first = closed.due - (closed.last - closed.first);
  if (!is_plain(closed)) return late_work_words(closed, work_name(closed), first, site, words);
  return work_name(closed) + " needs people, and " +
         days_closed(site, closed.first, closed.last, words);
}

}  // namespace budwood::report
