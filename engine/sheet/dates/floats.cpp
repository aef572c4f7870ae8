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
  for (auto s = layout_.order.rbegin(); s != layout_.order.rend(); ++s) {
    if (pinned[DateLayout::end_of(*s)] || left_by_followers(*s, plan) <= 0) continue;
    floats_[static_cast<std::size_t>(*s)] = solve(*s, plan, pinned);
  }
  return floats_;
}

/// By how many days a stage can end later before one that waits for it has to end later than its
/// own float allows.
Day Floats::left_by_followers(std::int32_t stage, const std::vector<Day>& plan) const {
  const PointId end = DateLayout::end_of(stage);
  const auto ready = static_cast<PointId>(network_.point_count() - 1);
  Day left = calendar::last_day;
  for (const LinkId id : network_.links_at(end)) {
    const Network::Link& link = network_.link(id);
    const bool follows = id < layout_.links.size() && !layout_.links[id].within;
    if (link.from != end || !follows || !link.low) continue;
    Day latest = plan[link.to];
    if (link.to != ready) {
      const auto next = static_cast<std::int32_t>(link.to / 2);
      const Network::Link& length = network_.link(*length_of(next));
      if (length.length != nullptr || length.low != length.high) continue;
      latest += floats_[static_cast<std::size_t>(next)];
    }
    left = std::min(left, latest - *link.low - plan[end]);
  }
  return left;
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
