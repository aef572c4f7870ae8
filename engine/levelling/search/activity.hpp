/// Which bounds have lately taken part in conflicts. Used inside this module only.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "levelling/search/bounds.hpp"

namespace budwood::levelling {

/// Splits of variables ("x >= v or x < v") by how active they were in recent conflicts (Moskewicz,
/// Madigan, Zhao, Zhang & Malik 2001), in a binary heap.
class Activity {
 public:
  explicit Activity(const Bounds& bounds);

  /// Counts a fact, or its opposite: they are the same split.
  void bump(const Bounds& bounds, Fact fact);
  void decay() { step_ /= 0.95; }
  /// The most active split that is still open, as the fact x >= v; nothing when all are decided.
  std::optional<Fact> take(const Bounds& bounds);
  /// Splits taken above a level are open again.
  void back_to(std::uint32_t level);

 private:
  using SplitId = std::uint32_t;
  static constexpr SplitId none = UINT32_MAX;
  struct Split {
    Fact fact;
    double activity = 0;
    std::uint32_t place = none;  ///< in the heap
  };
  struct Taken {
    SplitId split = none;
    std::uint32_t level = 0;
  };

  SplitId split_of(const Bounds& bounds, Fact fact);
  void insert(SplitId split);
  void rise(std::uint32_t place);
  void sink(std::uint32_t place);
  void put(std::uint32_t place, SplitId split);

  std::vector<std::vector<SplitId>> by_value_;  ///< by variable and value above its first bound
  std::vector<Split> splits_;
  std::vector<SplitId> heap_;
  std::vector<Taken> taken_;
  double step_ = 1;
};

}  // namespace budwood::levelling
