#include "report/closed_words.hpp"

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

/// "14 March is a Sunday", "29 March is a closed day (site.yaml:13)"; without the verb, " a Sunday".
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
  for (Day day = last - 1; day >= first; --day) {
    out += (day == first ? " and " : ", ") + why_closed(site, day, words, false);
  }
  return out;
}

std::string season_words(const Asked& asked, const ClosedDays& closed) {
  const language::Stage& stage = asked.t.protocol.stages[static_cast<std::size_t>(closed.stage)];
  return "`" + stage.name + "` starts only from " + calendar::describe(stage.season->first) +
         " to " + calendar::describe(stage.season->last) +
         (asked.sheet.site().southern ? ", moved by half a year south of the equator" : "");
}

std::string work_words(const Asked& asked, const ClosedDays& closed, const DayWords& words,
                       bool all_days) {
  const book::Site& site = asked.plan.book->site;
  const std::string stage = asked.stage(closed.stage);
  if (closed.work.empty()) return "work in " + stage + " would find nobody";
  const std::string work = "\"" + closed.work + "\" in " + stage;
  const Day first = closed.due - (all_days ? closed.last - closed.first : 0);
  if (closed.within > 0) {
    return work + " needs people, and nobody works from " + words(first) + " to " +
           words(closed.due + closed.within);
  }
  const std::string days = days_closed(site, first, closed.due, words);
  if (closed.due == closed.last) return days + " and " + work + " needs people";
  return work + " would fall on " + words(closed.due) + ", and " + days;
}

}  // namespace

std::string closed_text(const Asked& asked, const ClosedDays& closed, const DayWords& words,
                        bool all_days) {
  const book::Site& site = asked.plan.book->site;
  const Day first = all_days ? closed.first : closed.last;
  switch (closed.kind) {
    case ClosedDays::Kind::season:
      return season_words(asked, closed);
    case ClosedDays::Kind::hand_over:
      return days_closed(site, first, closed.last, words) +
             " and plants are handed over on working days";
    case ClosedDays::Kind::last_work:
      return asked.stage(closed.stage) + " has work on its last day and " +
             days_closed(site, first - 1, closed.last - 1, words);
    case ClosedDays::Kind::work:
      break;
  }
  return work_words(asked, closed, words, all_days);
}

}  // namespace budwood::report
