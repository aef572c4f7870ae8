#include "sheet/conflict_words.hpp"
#include "sheet/dates.hpp"

/// Conflicts of dates in a grower's words.
namespace budwood::sheet {

using language::Stage;

std::string days_text(int n) {
  return std::to_string(n) + (n == 1 ? " day" : " days");
}

std::string date_text(Day day) {
  return std::string(calendar::long_name(calendar::weekday(day))) + " " + calendar::iso_date(day);
}

std::string DatePlanner::stage_text(std::int32_t stage) const {
  return "`" + t_.protocol.stages[static_cast<std::size_t>(stage)].name + "`";
}

DateConflict DatePlanner::describe(const network::Conflict& conflict,
                                   const BatchFacts& batch) const {
  DateConflict out;
  out.misses = conflict.misses;
  for (const network::Fact& fact : conflict.facts) {
    DateConflict::Line line = describe(fact, batch);
    if (!line.text.empty()) out.lines.push_back(std::move(line));
  }
  out.repairs = repair_lines(conflict, batch);
  return out;
}

DateConflict::Line DatePlanner::describe(const network::Fact& fact, const BatchFacts& batch) const {
  using Kind = network::Fact::Kind;
  if (fact.kind == Kind::link_low || fact.kind == Kind::link_high || fact.kind == Kind::length) {
    const std::size_t own = t_.dates.links.size();
    const bool limit = fact.id >= own;
    const std::size_t link = limit ? limited_links_[fact.id - own] : fact.id;
    return describe_link(t_.dates.links[link], limit || fact.kind == Kind::link_high);
  }
  const network::Network::Point& point = network_.point(fact.id);
  if (fact.id + 1 == network_.point_count()) {
    if (fact.kind == Kind::not_after) {
      return {"It must be ready by " + date_text(*point.not_after) + ".", {}};
    }
    return {
        "Nobody works on " + date_text(fact.day) + ", and plants are handed over on working days.",
        {}};
  }
  const auto s = static_cast<std::int32_t>(fact.id / 2);
  const Stage& stage = t_.protocol.stages[static_cast<std::size_t>(s)];
  const bool end = fact.id % 2 == 1;
  if (fact.kind == Kind::allowed) {
    return {"Work in " + stage_text(s) + " needs people, and with a start on " +
                date_text(fact.day) + " some of it falls on a day on which nobody works.",
            stage.span};
  }
  for (const Pin& pin : batch.pins) {
    if (pin.stage == s && pin.end == end) {
      return {stage_text(s) + (end ? " ends on " : " starts on ") + date_text(pin.day) +
                  ", as the batch says.",
              {}};
    }
  }
  if (batch.start) return {"The batch starts on " + date_text(*batch.start) + " or later.", {}};
  return {"Plans go back to " + date_text(calendar::first_day) + ".", {}};
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
      return {stage_text(link.stage) + " lasts " + days_text(bound) + ".", link.span};
    case DateLink::Kind::after:
      return {name_at(link.to) + " starts " + (high ? "at most " : "at least ") + days_text(bound) +
                  " after " + name_at(link.from) + ".",
              link.span};
    case DateLink::Kind::wait:
    case DateLink::Kind::finish:
      break;
  }
  if (!high) return {name_at(link.to) + " comes after " + name_at(link.from) + ".", {}};
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
