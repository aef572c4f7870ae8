/// Where a search looks next. Used inside this module only.
#pragma once

#include <cstdint>
#include <optional>
#include <random>
#include <vector>

#include "levelling/search/kernel.hpp"

namespace budwood::levelling {

/// Ways to decide, used in turn: the most active split, towards the best schedule known (as
/// solution-guided search does: Beck 2007); the same after a stretch of time has been chosen and
/// all pairs that cannot run together put in the order of that schedule, but those which touch the
/// stretch; and the earliest date put on its first day, or the latest on its last one where the
/// objectives want things late, each group to its end before the next.
class Branching {
 public:
  enum class Way : std::uint8_t { by_time, by_activity, near_memory };

  Branching(const Model& model, std::uint64_t seed);

  /// `near_memory` needs a memory, and chooses another stretch each time.
  void set_way(Way way);
  /// What the bounds are now is what later decisions lean to.
  void remember(const Bounds& bounds);
  bool has_memory() const { return !guide_.empty(); }

  /// Nothing when all dates are fixed.
  std::optional<Fact> next(Kernel& kernel);

 private:
  /// A variable that is 1 when `one` comes before `other` and else 0.
  struct Order {
    VariableId variable = 0;
    VariableId one = 0;
    VariableId other = 0;
  };

  void hold_orders();
  std::optional<Fact> next_held(const Bounds& bounds);
  void group_dates(const Model& model);
  std::optional<Fact> by_time(const Bounds& bounds);
  std::optional<VariableId> nearest(const Bounds& bounds,
                                    const std::vector<VariableId>& dates) const;
  Fact towards_guide(Fact split) const;

  std::size_t dates_;
  bool late_ = false;
  Way way_ = Way::by_time;
  std::vector<Value> guide_;
  std::mt19937_64 random_;
  std::vector<VariableId> all_;                  ///< all dates
  std::vector<std::vector<VariableId>> groups_;  ///< dates that are placed together
  std::vector<std::uint32_t> group_of_;          ///< by date
  std::uint32_t group_ = 0;                      ///< the group begun last
  std::vector<Order> orders_;
  std::vector<VariableId> held_;  ///< orders to decide first
  std::size_t next_held_ = 0;     ///< those before this one were decided on `held_level_`
  std::uint32_t held_level_ = 0;
};

}  // namespace budwood::levelling
