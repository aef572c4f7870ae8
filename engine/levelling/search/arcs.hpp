/// Lags, and lags that hold only under a condition. Used inside this module only.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "levelling/search/bounds.hpp"

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
  /// What the hot loop needs of an arc, beside the others of its source.
  struct Exit {
    SideId target = 0;
    Value days = 0;
    std::uint32_t arc = 0;
    bool guarded = false;
    Fact guard;
  };
  /// Lists one after the other; list i begins at first[i] and ends where the next begins.
  template <class Item>
  struct Lists {
    std::vector<std::uint32_t> first;
    std::vector<Item> items;
    void add(const std::vector<Item>& list);
    const Item* begin_of(SideId side) const { return items.data() + first[side]; }
    const Item* end_of(SideId side) const { return items.data() + first[side + 1]; }
  };

  bool push(Bounds& bounds, const Exit& exit, Value reach) const;
  bool follow(Bounds& bounds, std::uint32_t id) const;

  std::vector<Arc> arcs_;
  Lists<Exit> exits_;             ///< by source
  Lists<std::uint32_t> guarded_;  ///< arcs by the side of their guard
};

}  // namespace budwood::levelling
