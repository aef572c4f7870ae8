/// What a schedule costs, as a variable that is at least the sum of its parts. Used inside this
/// module only.
#pragma once

#include <cstdint>
#include <vector>

#include "levelling/search/bounds.hpp"

namespace budwood::levelling {

inline constexpr SideId no_side = UINT32_MAX;

/// weight * max(0, side + other - free), the part of a term that one or two sides pay.
struct CostPart {
  SideId side = 0;
  Value free = 0;
  Cost weight = 0;
  SideId other = no_side;
};

/// The parts of one objective and the variable that counts their sum in `unit`s, rounded up.
struct CostSum {
  VariableId total = 0;
  Cost unit = 1;
  std::vector<CostPart> parts;
};

/// Keeps the total up to the parts and the parts within the total.
class CostRule {
 public:
  CostRule(std::size_t variables, std::vector<CostSum> sums);

  void touch(SideId side);
  void touch_all();
  bool pending() const { return !waiting_.empty(); }
  void forget();
  /// False when a bound failed.
  bool propagate(Bounds& bounds);
  void explain(const Bounds& bounds, std::uint32_t sum, Fact pushed, Position before,
               std::vector<Fact>& facts) const;

 private:
  void queue(std::uint32_t id);
  static void explain_parts(const Bounds& bounds, const CostSum& cost, const CostPart* pushing,
                            SideId own, Position before, Cost spare, std::vector<Fact>& facts);

  std::vector<CostSum> sums_;
  std::vector<std::vector<std::uint32_t>> of_side_;
  std::vector<std::uint32_t> waiting_;
  std::vector<char> is_waiting_;
};

}  // namespace budwood::levelling
