/// Lags, and lags that hold only under a condition. Used inside this module only.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "levelling/bounds.hpp"

namespace budwood::levelling {

/// later >= earlier + days; with a guard only when the guard holds.
struct Lagged {
  VariableId earlier = 0;
  VariableId later = 0;
  Value days = 0;
  std::optional<Fact> guard;
};

/// Difference constraints on the bounds. A lag is two arcs, one for each side, so that both are
/// pushes upwards. A guard is refuted as soon as its lag cannot be kept.
class Arcs {
 public:
  Arcs(std::size_t variables, const std::vector<Lagged>& lags);

  /// What follows from the rise of a side. False when a bound failed.
  bool propagate(Bounds& bounds, SideId side) const;
  /// What follows from all bounds as they are at first.
  bool propagate_all(Bounds& bounds) const;

  void explain_push(const Bounds& bounds, std::uint32_t arc, Fact pushed,
                    std::vector<Fact>& facts) const;
  void explain_guard(const Bounds& bounds, std::uint32_t arc, Position before,
                     std::vector<Fact>& facts) const;

 private:
  struct Arc {
    SideId source = 0;
    SideId target = 0;
    Value days = 0;
    bool guarded = false;
    Fact guard;
  };
  bool follow(Bounds& bounds, std::uint32_t id) const;

  std::vector<Arc> arcs_;
  std::vector<std::uint32_t> from_;        ///< arcs by source, and by guard
  std::vector<std::uint32_t> from_first_;  ///< by side: where its arcs begin in `from_`
};

}  // namespace budwood::levelling
