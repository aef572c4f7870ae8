#include "sheet/dates/floats.hpp"

#include <algorithm>

namespace budwood::sheet {

using network::Day;
using network::LinkId;
using network::Network;
using network::PointId;

Floats::Floats(const DateLayout& layout, const Network& network)
    : layout_(layout), network_(network) {}

int Floats::of(std::int32_t stage, const std::vector<Day>& plan) {
  latest_ = plan;
  const auto ready = static_cast<PointId>(network_.point_count() - 1);
  latest_[ready] = std::max(plan[ready], kept_free(ready, plan));
  mark_following(stage);
  for (auto s = layout_.order.rbegin(); s != layout_.order.rend(); ++s) {
    for (const PointId point : {DateLayout::end_of(*s), DateLayout::start_of(*s)}) {
      if (moves_[point]) latest_[point] = std::max(plan[point], latest(point, stage, plan));
    }
  }
  const PointId end = DateLayout::end_of(stage);
  return latest_[end] - plan[end];
}

/// The dates that move along when the end of a stage does; the day of delivery is not one of them.
void Floats::mark_following(std::int32_t stage) {
  moves_.assign(network_.point_count(), false);
  moves_[DateLayout::end_of(stage)] = true;
  for (const std::int32_t s : layout_.order) {
    for (const PointId point : {DateLayout::start_of(s), DateLayout::end_of(s)}) {
      for (const LinkId id : network_.links_at(point)) {
        const Network::Link& link = network_.link(id);
        const bool follows = id >= layout_.links.size() || !layout_.links[id].within;
        if (link.to == point && moves_[link.from] && follows) moves_[point] = true;
      }
    }
  }
}

/// The latest day of a point by its own bounds.
Day Floats::kept_free(PointId point, const std::vector<Day>& plan) const {
  const std::optional<Day> end = network_.point(point).not_after;
  if (!end) return plan[point];
  const calendar::DaySet* allowed = network_.point(point).allowed;
  return allowed == nullptr ? *end : allowed->previous(*end).value_or(plan[point]);
}

Day Floats::latest(PointId point, std::int32_t stage, const std::vector<Day>& plan) const {
  Day day = network_.point(point).not_after.value_or(calendar::last_day);
  for (const LinkId id : network_.links_at(point)) {
    // How long the stage itself takes is what is asked about.
    const bool own = id < layout_.links.size() && layout_.links[id].stage == stage &&
                     layout_.links[id].kind == DateLink::Kind::length;
    if (!own) day = std::min(day, bound_by(id, point, plan));
  }
  const calendar::DaySet* allowed = network_.point(point).allowed;
  return allowed == nullptr ? day : allowed->previous(day).value_or(plan[point]);
}

/// The latest day of a point that a link leaves it, when what follows is at its latest.
Day Floats::bound_by(LinkId id, PointId point, const std::vector<Day>& plan) const {
  const Network::Link& link = network_.link(id);
  if (link.from == point) {
    if (link.limit) return calendar::last_day;
    if (link.length != nullptr)
      return link.length->latest_start(latest_[link.to]).value_or(plan[point]);
    return link.low ? latest_[link.to] - *link.low : calendar::last_day;
  }
  if (moves_[link.from]) return calendar::last_day;
  if (link.length != nullptr) return link.length->end_of(plan[link.from]).value_or(plan[point]);
  return link.high ? plan[link.from] + *link.high : calendar::last_day;
}

}  // namespace budwood::sheet
