/// The shortest paths behind check_controllability. Used inside this module only.
#pragma once

#include <cstdint>
#include <vector>

#include "network/controllability.hpp"

namespace budwood::network {

/// Backward propagation of Morris 2014 on the labelled distance graph in normal form: a contingent
/// link from A to C of low to high becomes a fixed length `low` from A to a new point A' and a
/// contingent one of 0 to high - low from A' to C.
///
/// From every node with negative arcs into it, paths are followed backwards over arcs that are not
/// negative for as long as they stay negative; where one stops being so, a plain arc stands for it.
/// Coming upon another such node does that one first; coming upon one that is under way closes a
/// cycle that no strategy survives. All arcs are kept, parallel ones included: a labelled and a
/// plain arc between the same two nodes mean different things.
class BackPropagation {
 public:
  explicit BackPropagation(const Uncertain& network);

  bool controllable();

  /// A bound's share in the failing cycle: how often it counts for and against.
  struct Share {
    Part::Kind kind = Part::Kind::requirement;
    std::size_t index = 0;
    int low = 0, high = 0;
  };
  /// After failing: what the cycle is made of, in the order of its arcs, and its weight (negative).
  std::vector<Share> cycle() const;
  Length cycle_weight() const { return cycle_weight_; }

 private:
  using Node = std::uint32_t;
  using ArcId = std::uint32_t;
  using TrailId = std::uint32_t;
  static constexpr std::uint32_t none = UINT32_MAX;

  /// `lower`: nature may make it this short; `upper`: nature may make it this long.
  enum class Label : std::uint8_t { plain, lower, upper };
  struct Arc {
    Node from = 0, to = 0;
    Length weight = 0;
    Label label = Label::plain;
    Share share;           ///< of an arc of the network
    TrailId trail = none;  ///< what a derived arc stands for
  };
  /// A path as its first arc and the trail of the rest.
  struct Trail {
    ArcId arc = 0;
    TrailId rest = none;
  };
  /// A node whose paths are under way.
  struct Frame {
    Node source = 0;
    TrailId to_next = none;  ///< the path from the source of the next frame to this one
  };
  enum class State : std::uint8_t { untouched, under_way, done };
  class Search;

  void add_requirement(const Uncertain& network, std::size_t index);
  void add_contingent(const Uncertain& network, std::size_t index);
  void add_arc(Node from, Node to, Length weight, Label label, const Share& share);
  bool propagate(Node source);
  bool pass(Node source, Search& search, Node at);
  void close_cycle(Node source, TrailId last, Length weight);
  bool crosses_itself(Node source, const Arc& arc) const;
  Length trail_weight(TrailId trail) const;

  std::size_t points_ = 0;
  std::vector<Arc> arcs_;
  std::vector<std::vector<ArcId>> into_;  ///< by node
  std::vector<char> negative_;            ///< by node: whether a negative arc leads into it
  std::vector<State> state_;
  std::vector<Trail> trails_;
  std::vector<Frame> frames_;
  std::vector<TrailId> cycle_;
  Length cycle_weight_ = 0;
};

}  // namespace budwood::network
