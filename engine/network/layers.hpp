/// Contradictions found fact by fact. Used inside this module only.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "network/solver.hpp"
#include "network/tightening.hpp"

namespace budwood::network {

/// Works out, for k = 1, 2, ..., how late each date can be at most by chains of at most k facts: a
/// date or a set that starts the chain, a link, a length, moving on to an allowed day. All of these
/// are monotone, so the lowest height is all that needs to be kept of each point and number, and
/// the first contradiction is one of the fewest facts (Bellman 1958, in rounds).
class Layers {
 public:
  explicit Layers(const Network& network);

  /// The fewest facts that contradict each other through a date or a set of days, at most `most`.
  std::vector<Fact> from_bounds(std::size_t most);
  /// The fewest links, at most `most`, that form a negative cycle through `point`.
  std::vector<Fact> cycle_through(PointId point, std::size_t most);

  /// Pushes tried so far.
  std::uint64_t work() const { return work_; }

 private:
  using StepId = std::uint32_t;
  static constexpr StepId none = UINT32_MAX;

  /// The last fact of a chain and what it bounds.
  struct Step {
    Height height = 0;
    PointId point = 0;
    std::optional<Fact> fact;  ///< none where a cycle starts
    StepId before = none;
  };
  struct Contradiction {
    Step step;  ///< with the fact that completes the contradiction
    Height misses = 0;
  };

  void clear();
  void start();
  void extend(StepId at, bool links_only);
  void extend_by_length(StepId at, LinkId id, bool forward);
  void bound(PointId point, Height height, const Fact& fact, StepId before);
  void contradict(const Fact& fact, StepId before, Height misses);
  void next_layer();
  std::vector<Fact> facts() const;

  Tightening rules_;
  std::vector<Step> steps_;
  std::vector<StepId> best_;      ///< by point, of the layers before this one
  std::vector<StepId> newest_;    ///< by point, of this layer
  std::vector<PointId> changed_;  ///< points that this layer lowers
  std::vector<StepId> frontier_;  ///< what the last layer lowered
  std::optional<Contradiction> found_;
  std::uint64_t work_ = 0;
};

}  // namespace budwood::network
