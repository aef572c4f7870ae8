/// Where a search looks next. Used inside this module only.
#pragma once

#include <cstdint>
#include <optional>
#include <random>
#include <vector>

#include "levelling/kernel.hpp"

namespace budwood::levelling {

/// Two ways to decide, used in turn: the most active split, towards the best schedule known (as
/// solution-guided search does: Beck 2007); and the earliest date put on its first day, or the
/// latest on its last one where the objectives want things late.
class Branching {
 public:
  enum class Way : std::uint8_t { by_time, by_activity };

  Branching(const Model& model, std::uint64_t seed);

  void set_way(Way way) { way_ = way; }
  /// What the bounds are now is what later decisions lean to.
  void remember(const Bounds& bounds);
  bool has_memory() const { return !guide_.empty(); }

  /// Nothing when all dates are fixed.
  std::optional<Fact> next(Kernel& kernel);

 private:
  std::optional<Fact> by_time(const Bounds& bounds) const;
  Fact towards_guide(Fact split) const;

  std::size_t dates_;
  bool late_ = false;
  Way way_ = Way::by_time;
  std::vector<Value> guide_;
  std::mt19937_64 random_;
};

}  // namespace budwood::levelling
