#include <algorithm>

#include "sheet/dates/dates.hpp"

/// A stage that has begun takes longer than usual, as long as nature may, before anything else of a
/// batch under way gives way.
namespace budwood::sheet {

/// The days on which nature lets a stage end that starts on a day. A gate can hold the plants
/// longer than their degree-days.
std::optional<DayWindow> DatePlanner::reach_by_nature(std::int32_t stage, Day start,
                                                      const Columns& columns, std::size_t row) {
  const StageCells& cells = t_.stages[static_cast<std::size_t>(stage)];
  if (!language::follows_site(t_.protocol.stages[static_cast<std::size_t>(stage)])) {
    const auto shortest = days_in(columns, cells.shortest, row, 0);
    const auto longest = days_in(columns, cells.longest, row, 0);
    if (!shortest || !longest) return std::nullopt;
    return DayWindow{start + *shortest, start + *longest};
  }
  const auto end_by = [&](CellId sum) {
    const SeriesLength* length = series_lengths_.find(stage, sum, columns, row);
    return length == nullptr ? std::nullopt : length->end_of(start);
  };
  const auto quick = end_by(cells.shortest);
  const auto slow = end_by(cells.longest);
  if (!quick || !slow) return std::nullopt;
  const int limit = days_in(columns, cells.gate_limit, row, 0).value_or(0);
  return DayWindow{*quick, std::max(*slow, start + limit)};
}

void DatePlanner::find_reaches(const Columns& columns, std::size_t row) {
  reaches_.assign(t_.stages.size(), std::nullopt);
  for (std::int32_t s = 0; s < static_cast<std::int32_t>(t_.stages.size()); ++s) {
    const auto start = DateLayout::start_of(s);
    const bool noted = recorded_[start];
    if (!over_[start] || recorded_[DateLayout::end_of(s)]) continue;
    if (!noted && !by_itself_[static_cast<std::size_t>(s)]) continue;
    const Day day = noted ? *pinned_[start] : last_end_before(s);
    const auto ends = reach_by_nature(s, day, columns, row);
    if (ends) reaches_[static_cast<std::size_t>(s)] = Reach{day, *ends, noted};
  }
}

/// Whether a fact of a conflict is the usual length of a stage that has begun, and nature leaves it
/// more, or less where what comes after it is known to have begun. Where nobody noted when it
/// began, only that it is not over yet makes it longer.
bool DatePlanner::can_stretch(const network::Fact& fact, const network::Conflict& conflict) const {
  using Kind = network::Fact::Kind;
  const bool of_link =
      fact.kind == Kind::link_high || fact.kind == Kind::link_low || fact.kind == Kind::length;
  if (!of_link || fact.id >= t_.dates.links.size()) return false;
  const DateLink& written = t_.dates.links[fact.id];
  if (written.kind != DateLink::Kind::length) return false;
  const auto& reach = reaches_[static_cast<std::size_t>(written.stage)];
  if (!reach) return false;
  const bool not_over =
      std::any_of(conflict.facts.begin(), conflict.facts.end(), [&](const network::Fact& other) {
        return other.kind == Kind::not_before && other.id == written.to;
      });
  if (!reach->noted && !not_over) return false;
  const network::Network::Link& link = network_.link(fact.id);
  if (fact.kind == Kind::length) {
    const auto usual = link.length->end_of(reach->start);
    return usual &&
           (*usual < reach->ends.last || (over_[written.to] && *usual > reach->ends.first));
  }
  if (fact.kind == Kind::link_high) return reach->start + *link.high < reach->ends.last;
  return over_[written.to] && reach->start + *link.low > reach->ends.first;
}

/// Makes a stage so many days longer or shorter, or as long as nature may where its start is known;
/// a length that follows the temperatures becomes the number of days that it is from its start.
void DatePlanner::stretch(const network::Fact& fact, int days) {
  const DateLink& written = t_.dates.links[fact.id];
  const Reach& reach = *reaches_[static_cast<std::size_t>(written.stage)];
  const network::Network::Link link = network_.link(fact.id);
  switch (fact.kind) {
    case network::Fact::Kind::length: {
      const int length = *link.length->end_of(reach.start) - reach.start;
      network_.set_length(fact.id, nullptr);
      network_.set_link(fact.id, length, length);
      // So many days are right for that start alone.
      if (!reach.noted) network_.set_not_after(written.from, reach.start);
      break;
    }
    case network::Fact::Kind::link_high: {
      const int longest = reach.ends.last - reach.start;
      const int high = reach.noted ? longest : std::min(*link.high + days, longest);
      network_.set_link(fact.id, link.low, high);
      break;
    }
    default:
      network_.set_link(fact.id, std::max(*link.low - days, reach.ends.first - reach.start),
                        link.high);
      break;
  }
}

/// What may take longer takes no longer than it has to: as long as in the earliest plan.
void DatePlanner::hold_stretched() {
  for (std::int32_t s = 0; s < static_cast<std::int32_t>(t_.stages.size()); ++s) {
    const auto& reach = reaches_[static_cast<std::size_t>(s)];
    if (!reach || !reach->noted) continue;
    const network::LinkId id = length_link(s);
    const network::Network::Link& link = network_.link(id);
    if (link.length != nullptr || link.low == link.high) continue;
    const int days = days_[DateLayout::end_of(s)] - days_[DateLayout::start_of(s)];
    network_.set_link(id, days, days);
  }
}

}  // namespace budwood::sheet
