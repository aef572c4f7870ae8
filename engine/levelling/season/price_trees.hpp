/// Private to this module: a group as a tree of points whose days can be chosen one after the
/// other.
#pragma once

#include <cstdint>
#include <vector>

#include "levelling/season/groups.hpp"

namespace budwood::levelling {

/// A use as one node of it sees it. Where its ends are in two nodes, what it takes is what is taken
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
  std::uint32_t table = UINT32_MAX;  ///< of Prices, where what it pays is looked up

  bool slips() const { return slack > 0 || starts != nullptr; }
};

/// Points that are always as many days apart; it stands before the nodes that hang on it.
struct PriceNode {
  struct Member {
    std::uint32_t place = 0;  ///< of the point in its group
    Day offset = 0;
  };
  std::vector<Member> members;
  Day first = 0;
  std::int32_t count = 0;          ///< of days
  std::vector<std::uint8_t> open;  ///< by day: whether it may be; empty: any
  std::int32_t parent = -1;        ///< in PriceTree::nodes
  std::size_t at = 0;              ///< of its first day, among the days of the tree
  std::int32_t least = 0,
               most = 0;  ///< what the parent leaves: its number of a day and so many more
  /// The same by day of the parent where more than days apart binds; none where from > to. The ends
  /// never fall. Else empty.
  std::vector<std::int32_t> from, to;
  std::vector<PriceTake> takes;
  std::vector<Term> terms;  ///< of the first objective
  std::vector<Term> others;
};

struct PriceTree {
  std::vector<PriceNode> nodes;
  std::size_t size = 0;  ///< days of all nodes
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
  /// A point is so many days after the point that stands for it.
  struct Stand {
    std::uint32_t place = 0;
    Day offset = 0;
  };
  struct BoundLength {
    const Length* length = nullptr;
    Day from = 0, to = 0;  ///< the offsets of its points
    bool forward = true;   ///< along the bond
  };
  /// All that binds two points that stand for others.
  struct Bond {
    std::uint32_t from = 0, to = 0;  ///< places in the group
    Day least = -never, most = never;
    std::vector<BoundLength> lengths;
  };
  static constexpr Day never = 1 << 20;

  void find_windows();
  void put_together();
  void find_bonds();
  Stand stand_of(PointId point) const { return stands_[groups_.place(point)]; }
  Bond& bond(std::uint32_t from, std::uint32_t to);
  PriceNode node(std::uint32_t place) const;
  void leave(const Bond& bond, bool down, PriceNode& child, const PriceNode& parent) const;
  void leave_by_length(const BoundLength& bound, bool down, PriceNode& child,
                       const PriceNode& parent) const;
  void add_takes(std::vector<PriceNode>& nodes, const std::vector<std::int32_t>& node_of) const;
  void add_terms(std::vector<PriceNode>& nodes, const std::vector<std::int32_t>& node_of) const;
  void close_days(PriceNode& node) const;
  bool is_given(const Use& use) const;

  const Problem& problem_;
  const Groups& groups_;
  GroupId group_;
  bool possible_ = false;
  std::vector<Day> low_, high_;
  std::vector<Stand> stands_;  ///< by place
  std::vector<Bond> bonds_;
};

}  // namespace budwood::levelling
