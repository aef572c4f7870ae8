/// Whether a network can be followed when nature picks some of the lengths.
///
/// A simple temporal network with uncertainty is dynamically controllable when the free dates can
/// be chosen as time goes by, knowing only what has happened so far, so that every requirement is
/// met whatever lengths nature picks inside their bounds (Morris & Muscettola 2005). The grower may
/// act at the very moment at which something is seen (Morris 2006).
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace budwood::network {

/// A bound or length in any whole unit, within 2^40 either way, so that finer data can be scaled up
/// and stay exact.
using Length = std::int64_t;

/// low <= to - from <= high for the grower to meet; an absent side does not bind. Several for one
/// pair of points may occur.
struct Requirement {
  std::size_t from = 0, to = 0;
  std::optional<Length> low, high;
};

/// Nature picks to - from between low and high; `to` is seen when it happens. 0 <= low <= high. The
/// end of one may start another.
struct Contingent {
  std::size_t from = 0, to = 0;
  Length low = 0, high = 0;
};

/// A network in which nature has a say. Points are numbered from 0; none is fixed.
struct Uncertain {
  std::size_t points = 0;
  std::vector<Requirement> requirements;
  std::vector<Contingent> contingents;
};

/// One bound that a verdict rests on.
struct Part {
  enum class Kind : std::uint8_t { requirement, contingent };
  enum class Side : std::uint8_t { low, high };
  Kind kind = Kind::requirement;
  std::size_t index = 0;  ///< in `requirements` or `contingents`
  Side side = Side::low;
  friend bool operator==(const Part&, const Part&) = default;
};

struct Verdict {
  bool controllable = true;
  /// When not: requirement bounds and contingent links that are not controllable by themselves;
  /// when any of those bounds or links is left out, the others are. Of a contingent link the side
  /// that nature would pick is named, or both. Requirements come first, each kind by index.
  std::vector<Part> conflict;
  /// When not: how much is lacking all round the failing cycle, in the unit of the bounds.
  Length misses = 0;
};

/// Decides dynamic controllability by Morris 2014 (Dynamic controllability and dispatchability
/// relationships, CPAIOR): shortest paths run backwards from each point that something must follow,
/// O(n^3) time and O(n^2) memory for n points. The failing cycle is unfolded to the bounds that
/// made it (Bhargava, Vaquero & Williams 2017), then thinned by leaving out one after the other. A
/// contingent link that breaks 0 <= low <= high is a conflict by itself.
Verdict check_controllability(const Uncertain& network);

}  // namespace budwood::network
