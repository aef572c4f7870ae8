/// How one date bounds another, seen from one side. Used inside this module only.
#pragma once

#include <cstdint>
#include <optional>

#include "network/solver.hpp"

namespace budwood::network {

/// Which of the two extreme plans is looked for.
enum class Side : std::uint8_t { latest, earliest };

/// A date seen from one side: the day for the latest plan, the negated day for the earliest. So
/// heights only ever fall, and both plans share all code.
using Height = std::int64_t;
/// The height of what nothing bounds, less what links take off it.
inline constexpr Height open_height = Height{1} << 60;
constexpr bool is_open(Height height) {
  return height >= open_height / 2;
}

/// What a push came to.
struct Reach {
  enum class Kind : std::uint8_t { open, height, impossible };
  Kind kind = Kind::open;
  Height height = 0;
};

/// The rules by which dates bound each other.
class Tightening {
 public:
  Tightening() = default;
  Tightening(const Network& network, Side side) : network_(&network), side_(side) {}

  const Network& network() const { return *network_; }
  Side side() const { return side_; }
  Height to_height(std::int64_t day) const { return side_ == Side::latest ? day : -day; }
  /// The day of a height that is not open, cut off where a Day ends.
  Day to_day(Height height) const;

  /// The bound that a plan from this side starts from, and the one it must not fall below.
  std::optional<Height> near_bound(PointId point) const;
  std::optional<Height> far_bound(PointId point) const;
  Fact::Kind near_fact() const;
  Fact::Kind far_fact() const;

  /// How far a link without a length pushes its `to` (forward) or its `from`.
  std::optional<Height> step(const Network::Link& link, bool forward) const;
  /// The side of the link that does so.
  Fact::Kind step_fact(bool forward) const;

  /// Whether the length of a link pushes in this direction: one that is a limit bounds `to` from
  /// above alone, which in the latest plan pushes `to` and in the earliest one pushes `from`.
  bool binds(const Network::Link& link, bool forward) const;

  /// The nearest allowed day at or below a height, which may be open when there is a set.
  Reach settle(PointId point, Height wanted) const;

  /// Where a length puts the end of what starts at a height, or the start of what ends at one,
  /// which may be open. A start whose end is not known although a lower one's is, bounds nothing:
  /// pushing the start down is left to `start_of`.
  Reach end_of(const MonotoneLength& length, Height start) const;
  Reach start_of(const MonotoneLength& length, Height end) const;

 private:
  const Network* network_ = nullptr;
  Side side_ = Side::latest;
};

}  // namespace budwood::network
