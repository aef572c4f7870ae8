/// Private to this module.
///
/// A work that may slip is a use with slack, not a date: a batch of ten stages has twenty dates
/// and may have fifty orders. The placer gives an order the nearest day with enough people, and
/// moves the stage only if there is none.
#pragma once

#include <array>
#include <limits>

#include "levelling/season/groups.hpp"
#include "levelling/season/profile.hpp"
#include "levelling/season/windows.hpp"

namespace budwood::levelling {

inline constexpr std::size_t most_objectives = 3;
/// Compared from the first objective on.
using Costs = std::array<Cost, most_objectives>;

/// Days for the points of a group, by place in it, and slips for its uses.
struct Placement {
  bool found = false;  ///< any days that meet the group's bonds
  bool fits = false;   ///< and nothing is short
  Cost missing = 0;    ///< what is short: amounts a day, in thousandths of what the use takes
  Costs costs{};
  std::vector<Day> days;
  std::vector<Day> slips;
};

/// Finds days for one group between all that is taken already.
///
/// Best first over windows. The days nearest to the wanted ones are tried; where a use finds too
/// little of a resource, the search goes on with the use after the days that are short, and with
/// the use before them. Where many uses are in the way, all that is cheaper would have to be tried
/// before a place is found; so when the tries are over the search begins again, the last window
/// first among those that are as good in the first objective, and then the last of all.
class Placer {
 public:
  Placer(const Problem& problem, const Groups& groups, Profile& profile);

  /// `schedule` holds the days of the groups that `placed` says; `wanted` is by point. What the
  /// group itself takes is not in the profile, and is not left there. No days are looked at that
  /// cost more than `most` in the first objective.
  Placement place(GroupId group, const std::vector<Day>& wanted, const Schedule& schedule,
                  const std::vector<bool>& placed, std::size_t most_tries,
                  Cost most = std::numeric_limits<Cost>::max());

  /// What a group costs at least beside what is taken: no placement is cheaper.
  Costs least_costs(GroupId group, const std::vector<Day>& wanted, const Schedule& schedule,
                    const std::vector<bool>& placed, std::size_t most_tries);

  /// Takes for a group what its days in the schedule say, or gives it back.
  void take(GroupId group, const Schedule& schedule, bool back = false) {
    take(group, schedule, profile_, back);
  }
  void take(GroupId group, const Schedule& schedule, Profile& profile, bool back) const;

  /// A day on which a group would find too little, and by how much.
  struct Short {
    ResourceId resource = 0;
    Day day = 0;
    Amount amount = 0;
  };
  /// All of them, of a group that takes nothing yet, where a schedule has it.
  std::vector<Short> shorts(GroupId group, const Schedule& schedule) const;

  /// Whether all that a group takes is there; it has been taken.
  bool has_enough(GroupId group, const Schedule& schedule) const;

  Costs cost_of(GroupId group, const Schedule& schedule) const;

 private:
  struct Node {
    Costs bound{};
    int depth = 0;  ///< windows that it lies in
    std::vector<Day> low, high;
  };
  /// Where a use found too little: it can begin from `later` on, or end by `earlier`.
  struct Clash {
    std::uint32_t use = 0;
    std::optional<Day> later;    ///< for the day of its first point
    std::optional<Day> earlier;  ///< for the day of its last point
    bool own = false;            ///< the group itself takes what is short
  };
  struct Taken {
    ResourceId resource = 0;
    Amount amount = 0;
    Day first = 0, end = 0;
  };

  /// Which window is tried next.
  enum class Next : std::uint8_t { cheapest, last_of_cheapest, last };
  void start(GroupId group, const Schedule& schedule, const std::vector<bool>& placed, Next next);
  void try_windows(GroupId group, const std::vector<Day>& wanted, std::size_t most_tries,
                   Placement& best);
  /// The heap keeps the window on top that is to be tried next.
  bool comes_later(const Node& a, const Node& b) const {
    if (next_ == Next::last_of_cheapest && a.bound[0] != b.bound[0]) return a.bound[0] > b.bound[0];
    if (next_ != Next::cheapest && a.depth != b.depth) return a.depth < b.depth;
    return a.bound > b.bound;
  }
  Node pop();
  void branch(GroupId group, const Node& node);
  void open(GroupId group, Node node);
  Node first_windows(GroupId group, const Schedule& schedule,
                     const std::vector<bool>& placed) const;
  Costs bound_of(GroupId group, const Node& node) const;
  Placement settle(GroupId group, const Node& node, const std::vector<Day>& wanted);
  void take_use(const Node& node, std::uint32_t use, Placement& placement, std::size_t place);
  void take_slipping(const Node& node, std::uint32_t id, Day begin, Day length,
                     Placement& placement, std::size_t place);
  void clash_at(const Node& node, std::uint32_t id, Day day);
  void clash_around(const Node& node, std::uint32_t id, Day begin, Day length);
  bool takes_itself(ResourceId resource, Day day) const;
  void add_missing(const Use& use, Day first, Day end, Placement& placement) const;
  void note_taken(const Use& use, Day first, Day end);

  const Problem& problem_;
  const Groups& groups_;
  Profile& profile_;
  Windows windows_;
  std::vector<Node> nodes_;  ///< a heap
  Next next_ = Next::cheapest;
  Cost most_ = 0;  ///< in the first objective
  std::vector<Taken> taken_;
  std::optional<Clash> clash_;
};

}  // namespace budwood::levelling
