#pragma once

#include <cstdint>
#include <functional>
#include <optional>

namespace budwood::statistics {

/// How many plants will be wanted, of which only the least, the usual and the most are known: the
/// whole numbers next to a triangular distribution from half a plant below the least to half a
/// plant above the most, with its peak at the usual number. Three numbers say no more than that.
/// The beta distribution that is often taken instead (PERT: Malcolm, Roseboom, Clark and Fazar,
/// Oper. Res. 7, 1959) puts a weight of four on the usual number, which is a convention, and makes
/// the ends rarer than people who name them mean (Johnson, The Statistician 46, 1997).
class Demand {
 public:
  /// Nothing unless 0 <= least <= usual <= most.
  static std::optional<Demand> between(std::int64_t least, std::int64_t usual, std::int64_t most);

  std::int64_t least() const { return least_; }
  std::int64_t most() const { return most_; }
  /// P(D <= k).
  double at_most(std::int64_t k) const;
  double mean() const;

 private:
  Demand(std::int64_t least, std::int64_t usual, std::int64_t most)
      : least_(least), usual_(usual), most_(most) {}
  std::int64_t least_, usual_, most_;
};

/// What is to be expected where plants come by chance and are wanted by chance, one having nothing
/// to do with the other.
struct Met {
  double sold = 0;    ///< the smaller of both
  double over = 0;    ///< plants that nobody wants
  double lack = 0;    ///< plants that are wanted and not there
  double enough = 0;  ///< the chance that all are there that are wanted

  /// Money that is lost against knowing both before.
  double cost(double too_many, double too_few) const { return too_many * over + too_few * lack; }
};

/// Between which numbers plants come, as good as always.
struct Reach {
  std::int64_t lowest = 0, highest = 0;
};

/// `at_least(m)` is the chance that m plants come or more, `mean` what comes on average. It is
/// asked within `reach` alone. Summed number by number up to some thousands; beyond, in steps.
Met met(const Demand& demand, double mean, const Reach& reach,
        const std::function<double(std::int64_t)>& at_least);

}  // namespace budwood::statistics
