#include "sheet/dates/floats.hpp"

#include <algorithm>

namespace budwood::sheet {

using network::Day;
using network::LinkId;
using network::Network;
using network::PointId;

Floats::Floats(const DateLayout& layout, Network& network) : layout_(layout), network_(network) {}

const std::vector<int>& Floats::of(const std::vector<Day>& plan,
                                   const std::vector<std::optional<Day>>& pinned) {
  floats_.assign(layout_.order.size(), 0);
  find_reach(plan, pinned);
  for (const std::int32_t s : layout_.order) {
    const PointId end = DateLayout::end_of(s);
    if (pinned[end] || reach_[end] <= plan[end]) continue;
    floats_[static_cast<std::size_t>(s)] = solve(s, plan, pinned);
  }
  return floats_;
}

/// How late each date could be if plants could wait for ever: nothing is later in any plan.
void Floats::find_reach(const std::vector<Day>& plan,
                        const std::vector<std::optional<Day>>& pinned) {
  reach_.assign(plan.size(), plan.back());
  for (auto s = layout_.order.rbegin(); s != layout_.order.rend(); ++s) {
    for (const PointId point : {DateLayout::end_of(*s), DateLayout::start_of(*s)}) {
      Day& reach = reach_[point];
      for (const LinkId id : network_.links_at(point)) {
        const Network::Link& link = network_.link(id);
        const bool follows = id < layout_.links.size() && !layout_.links[id].within;
        if (link.from == point && follows)
          reach = std::min(reach, reach_[link.to] - link.low.value_or(0));
      }
      const calendar::DaySet* allowed = network_.point(point).allowed;
      if (allowed != nullptr) reach = allowed->previous(reach).value_or(reach);
      if (pinned[point]) reach = *pinned[point];
    }
  }
}

int Floats::solve(std::int32_t stage, const std::vector<Day>& plan,
                  const std::vector<std::optional<Day>>& pinned) {
  const PointId end = DateLayout::end_of(stage);
  mark_following(stage);
  bounds_.clear();
  for (PointId point = 0; point < network_.point_count(); ++point) {
    bounds_.push_back(network_.point(point));
    const bool moves = moves_[point];
    const std::optional<Day> day = moves ? pinned[point] : plan[point];
    network_.set_not_after(point, day);
    if (moves) continue;
    network_.set_not_before(point, day);
    network_.set_allowed(point, nullptr);
  }
  // How long the stage itself takes is what is asked about.
  const LinkId length = *length_of(stage);
  const Network::Link written = network_.link(length);
  network_.set_length(length, nullptr);
  network_.set_link(length, 0, std::nullopt);
  const bool found = solver_.latest(network_, latest_);
  network_.set_link(length, written.low, written.high);
  network_.set_length(length, written.length);
  for (PointId point = 0; point < network_.point_count(); ++point) {
    network_.set_not_before(point, bounds_[point].not_before);
    network_.set_not_after(point, bounds_[point].not_after);
    network_.set_allowed(point, bounds_[point].allowed);
  }
  return found ? latest_[end] - plan[end] : 0;
}

std::optional<LinkId> Floats::length_of(std::int32_t stage) const {
  for (LinkId id = 0; id < layout_.links.size(); ++id) {
    const DateLink& link = layout_.links[id];
    if (link.kind == DateLink::Kind::length && link.stage == stage) return id;
  }
  return std::nullopt;
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

}  // namespace budwood::sheet
