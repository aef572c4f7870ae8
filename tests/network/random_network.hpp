#pragma once

#include <memory>
#include <random>
#include <vector>

#include "network/network.hpp"
#include "table_length.hpp"

namespace budwood::network {

/// Draws that are the same on every machine.
class Draw {
 public:
  explicit Draw(std::uint32_t seed) : engine_(seed) {}
  /// Between low and high, both included.
  int between(int low, int high) {
    return low + static_cast<int>(engine_() % static_cast<std::uint32_t>(high - low + 1));
  }
  bool chance(int percent) { return between(1, 100) <= percent; }

 private:
  std::mt19937 engine_;
};

/// A small random network and all it borrows. Its dates lie near `base`.
struct RandomNetwork {
  static constexpr Day base = 20000;
  static constexpr Day width = 11;  ///< dates lie between base and base + width

  /// With `boxed`, every date is bounded on both sides, so that trying all days decides everything.
  RandomNetwork(std::uint32_t seed, bool boxed) : draw(seed) {
    const int points = draw.between(1, 4);
    for (int i = 0; i < points; ++i) {
      const PointId point = network.add_point(draw.chance(40) ? any_set() : nullptr);
      if (boxed || draw.chance(35)) network.set_not_before(point, base + draw.between(0, 3));
      if (boxed || draw.chance(35)) network.set_not_after(point, base + draw.between(7, width));
    }
    const int links = draw.between(0, points + 2);
    for (int i = 0; i < links; ++i) add_link(points);
  }

  RandomNetwork(const RandomNetwork&) = delete;
  RandomNetwork& operator=(const RandomNetwork&) = delete;

  Network network;
  Draw draw;

 private:
  const calendar::DaySet* any_set() {
    auto set = std::make_unique<calendar::DaySet>(calendar::DaySet::none());
    const int share = draw.between(15, 85);
    for (Day day = base; day <= base + width; ++day) {
      if (draw.chance(share)) set->insert(day);
    }
    sets_.push_back(std::move(set));
    return sets_.back().get();
  }

  void add_link(int points) {
    const auto from = static_cast<PointId>(draw.between(0, points - 1));
    const auto to = static_cast<PointId>(draw.between(0, points - 1));
    if (draw.chance(20) && from != to) {
      std::vector<Day> ends;
      const Day first = base + draw.between(0, 4);
      Day end = first + draw.between(0, 4);
      for (int i = draw.between(0, 8); i > 0; --i) ends.push_back(end += draw.between(0, 2));
      lengths_.push_back(std::make_unique<TableLength>(first, ends));
      network.add_length(from, to, lengths_.back().get());
      return;
    }
    const int low = draw.between(-4, 5);
    const int spread = draw.between(draw.chance(10) ? -2 : 0, 4);
    const auto side = [&](int value) {
      return draw.chance(75) ? std::optional<Day>(value) : std::nullopt;
    };
    network.add_link(from, to, side(low), side(low + spread));
  }

  std::vector<std::unique_ptr<calendar::DaySet>> sets_;
  std::vector<std::unique_ptr<TableLength>> lengths_;
};

/// Whether days meet every constraint of a network.
inline bool meets_all(const Network& network, const std::vector<Day>& days) {
  for (PointId id = 0; id < network.point_count(); ++id) {
    const Network::Point& point = network.point(id);
    if (point.allowed && !point.allowed->contains(days[id])) return false;
    if (point.not_before && days[id] < *point.not_before) return false;
    if (point.not_after && days[id] > *point.not_after) return false;
  }
  for (LinkId id = 0; id < network.link_count(); ++id) {
    const Network::Link& link = network.link(id);
    const Day gap = days[link.to] - days[link.from];
    if (link.length && link.length->end_of(days[link.from]) != days[link.to]) return false;
    if (!link.length && link.low && gap < *link.low) return false;
    if (!link.length && link.high && gap > *link.high) return false;
  }
  return true;
}

}  // namespace budwood::network
