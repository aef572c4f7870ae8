/// The work list behind Solver. Used inside this module only.
#pragma once

#include <cstdint>
#include <vector>

#include "network/solver.hpp"
#include "network/tightening.hpp"
#include "network/work_list.hpp"

namespace budwood::network {

/// Tightens the dates of a network from one side until nothing moves or something contradicts.
/// Every push is logged with what caused it, so that the chain behind a contradiction can be read
/// back exactly.
class Propagation {
 public:
  enum class Outcome : std::uint8_t { plan, unbounded, contradiction };

  Outcome run(const Network& network, Side side);

  /// After `plan`.
  Day day(PointId point) const { return rules_.to_day(height_[point]); }
  /// After `unbounded`: the first point that nothing bounds.
  PointId unbounded_point() const;
  /// After `contradiction`: what the failing chain rests on, each fact once, in the order in which
  /// it pushes.
  std::vector<Fact> failing_facts() const;

 private:
  using PushId = std::uint32_t;
  static constexpr PushId none = UINT32_MAX;

  struct Push {
    Height height = 0;     ///< after moving on to an allowed day
    Height wanted = 0;     ///< before that
    Height travelled = 0;  ///< sum of the link bounds since the start of the chain
    PointId point = 0;
    std::uint32_t id = 0;  ///< the link of a push by a link or length
    PushId parent = none;
    PushId marker = none;       ///< a push further up this chain, see `closes_cycle`
    std::uint32_t depth = 1;    ///< pushes in this chain
    std::uint32_t lengths = 0;  ///< of them, those by a monotone length
    Fact::Kind cause = Fact::Kind::link_low;
  };

  enum class Failure : std::uint8_t { none, cycle, far_bound, no_day, no_length };

  bool start_from_bounds();
  bool start_from_sets();
  bool start_from_nothing();
  bool propagate();
  bool follow(PointId at, LinkId id);
  bool push_by(LinkId id, bool forward);
  bool push_by_length(LinkId id, bool forward);
  bool push(Push push);
  bool append(Push& push, Failure failure);
  bool closes_cycle(PushId id);
  bool circles(PushId id);
  bool lap_falls(PushId later, PushId earlier) const;
  Fact allowed_fact(const Push& push) const;

  Tightening rules_;
  std::vector<Height> height_;
  std::vector<PushId> last_push_;  ///< the push that gave a point its height
  std::vector<Push> log_;
  WorkList work_;
  std::vector<PushId> seen_;  ///< scratch: the push met last at a point
  Failure failure_ = Failure::none;
};

}  // namespace budwood::network
