#include "network/time_network.hpp"

namespace budwood::network {

PointId Network::add_point(const calendar::DaySet* allowed) {
  points_.push_back({allowed, {}, {}});
  touching_.emplace_back();
  return static_cast<PointId>(points_.size() - 1);
}

void Network::set_allowed(PointId point, const calendar::DaySet* allowed) {
  points_[point].allowed = allowed;
}

void Network::set_not_before(PointId point, std::optional<Day> day) {
  points_[point].not_before = day;
}

void Network::set_not_after(PointId point, std::optional<Day> day) {
  points_[point].not_after = day;
}

LinkId Network::add_link(PointId from, PointId to, std::optional<Day> low,
                         std::optional<Day> high) {
  const auto id = static_cast<LinkId>(links_.size());
  links_.push_back({from, to, low, high, nullptr, false});
  touching_[from].push_back(id);
  if (to != from) touching_[to].push_back(id);
  return id;
}

void Network::set_link(LinkId link, std::optional<Day> low, std::optional<Day> high) {
  links_[link].low = low;
  links_[link].high = high;
}

LinkId Network::add_length(PointId from, PointId to, const MonotoneLength* length) {
  const LinkId id = add_link(from, to, {}, {});
  set_length(id, length);
  return id;
}

LinkId Network::add_limit(PointId from, PointId to, const MonotoneLength* limit) {
  const LinkId id = add_length(from, to, limit);
  links_[id].limit = true;
  return id;
}

void Network::set_length(LinkId link, const MonotoneLength* length) {
  links_[link].length = length;
}

}  // namespace budwood::network
