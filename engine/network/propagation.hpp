/// The work list behind Solver. Used inside this module only.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "network/network.hpp"

namespace budwood::network {

/// Which of the two extreme plans is looked for.
enum class Side : std::uint8_t { latest, earliest };

/// Tightens the dates of a network from one side until nothing moves or something contradicts.
///
/// Both sides run the same code on heights: a date's height is the day for the latest plan and the
/// negated day for the earliest, so heights only ever fall. Every push is logged with what caused
/// it, so that the chain behind a contradiction can be read back exactly.
class Propagation {
 public:
  enum class Outcome : std::uint8_t { plan, unbounded, contradiction };

  Outcome run(const Network& network, Side side);

  /// After `plan`.
  Day day(PointId point) const;
  /// After `unbounded`: the first point that nothing bounds.
  PointId unbounded_point() const;
  /// After `contradiction`: what the failing chain rests on, each fact once, in the order in which
  /// it pushes. `simple` tells whether only links, not_before and not_after took part and no point
  /// was met twice; then no fact can be left out.
  void read_chain(std::vector<Fact>& facts, Day& misses, bool& simple);

 private:
  using Height = std::int64_t;
  using PushId = std::uint32_t;
  static constexpr PushId none = UINT32_MAX;

  enum class Cause : std::uint8_t { nothing, bound, allowed, link_low, link_high, length };

  struct Push {
    Height height = 0;     ///< after moving on to an allowed day
    Height wanted = 0;     ///< before that
    Height travelled = 0;  ///< sum of the link bounds since the start of the chain
    PointId point = 0;
    LinkId link = 0;
    PushId parent = none;
    PushId marker = none;       ///< a push further up this chain, see `closes_cycle`
    std::uint32_t depth = 1;    ///< pushes in this chain
    std::uint32_t lengths = 0;  ///< of them, those by a monotone length
    Cause cause = Cause::nothing;
  };

  enum class Failure : std::uint8_t { none, cycle, far_bound, no_day, length_unknown };

  void prepare();
  void enqueue(PointId point);
  bool start_from_bounds();
  bool start_from_sets();
  bool start_from_nothing();
  bool propagate();
  bool follow(PointId at, LinkId id);
  bool follow_length(PointId at, LinkId id);
  bool push_start_of(LinkId id, PushId parent);
  bool push(PointId point, Height wanted, Cause cause, LinkId link, PushId parent, Height step = 0);
  bool append(const Push& push, Failure failure);
  void chain(Push& push) const;
  bool closes_cycle(PushId id);
  bool repeats_without_days(PushId id);
  bool lap_falls(PushId later, PushId earlier) const;

  bool open(PointId point) const { return height_[point] >= open_height / 2; }
  Height to_height(std::int64_t day) const { return side_ == Side::latest ? day : -day; }
  std::optional<Height> settle(PointId point, Height wanted) const;
  std::optional<Day> far_bound(PointId point) const;
  std::optional<Day> near_bound(PointId point) const;

  static constexpr Height open_height = Height{1} << 60;

  const Network* network_ = nullptr;
  Side side_ = Side::latest;
  std::vector<Height> height_;
  std::vector<PushId> last_push_;
  std::vector<Push> log_;
  std::vector<PointId> queue_;  ///< a ring; holds each point at most once
  std::size_t head_ = 0, queued_ = 0;
  std::vector<char> in_queue_;
  std::vector<PushId> seen_;  ///< scratch: the push met last at a point
  Failure failure_ = Failure::none;
};

}  // namespace budwood::network
