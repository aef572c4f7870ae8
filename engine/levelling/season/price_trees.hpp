/// Private to this module: a group as a tree of points whose days can be chosen one after the
/// other.
#pragma once

#include <cstdint>
#include <vector>

#include "levelling/season/groups.hpp"

namespace budwood::levelling {

/// A use as one point of it sees it. Where its ends are two points, what it takes is what is taken
/// up to its end less what is taken up to its begin; that is no more than it takes.
struct PriceTake {
  enum class Side : std::uint8_t { both, begin, end };
  Side side = Side::both;
  ResourceId resource = 0;
  double amount = 0;
  Day from = 0, to = 0;  ///< offsets
  Day slack = 0;
  const calendar::DaySet* starts = nullptr;
  bool optional = false;
};

/// A point; it stands before those that hang on it.
struct PriceNode {
  Day first = 0;
  std::int32_t count = 0;     ///< of days
  std::int32_t parent = -1;   ///< in PriceTree::nodes
  std::size_t at = 0;         ///< of its first day, among the days of the tree
  std::size_t chosen_at = 0;  ///< of the first day of its parent, among those of all parents
  const calendar::DaySet* allowed = nullptr;
  /// By day of the parent: the days that it leaves; none where from > to.
  std::vector<std::int16_t> from, to;
  std::vector<PriceTake> takes;
  std::vector<Term> terms;  ///< of the first objective
  std::vector<Term> others;
  std::uint32_t place = 0;  ///< of the point in its group
};

struct PriceTree {
  std::vector<PriceNode> nodes;
  std::size_t size = 0;     ///< days of all nodes
  std::size_t choices = 0;  ///< days of the parents of all nodes
};

/// A use that lies where it is whatever is chosen.
struct GivenTake {
  ResourceId resource = 0;
  double amount = 0;
  Day first = 0, end = 0;
};

class PriceTreeMaker {
 public:
  PriceTreeMaker(const Problem& problem, const Groups& groups, GroupId group);

  /// Whether the bonds of the group leave it any days.
  bool possible() const { return possible_; }
  PriceTree tree() const;
  std::vector<GivenTake> given() const;

 private:
  /// All that binds two points of the group.
  struct Bond {
    std::uint32_t from = 0, to = 0;  ///< places in the group
    Day least = -never, most = never;
    std::vector<const Length*> lengths;
  };
  static constexpr Day never = 1 << 20;

  void find_windows();
  void find_bonds();
  Bond& bond(PointId from, PointId to);
  void leave(const Bond& bond, bool down, PriceNode& child, const PriceNode& parent) const;
  void leave_by_length(const Length& length, bool down, PriceNode& child,
                       const PriceNode& parent) const;
  void add_takes(std::vector<PriceNode>& nodes, const std::vector<std::int32_t>& node_of) const;
  bool is_given(const Use& use) const;

  const Problem& problem_;
  const Groups& groups_;
  GroupId group_;
  bool possible_ = false;
  std::vector<Day> low_, high_;
  std::vector<Bond> bonds_;
};

}  // namespace budwood::levelling
