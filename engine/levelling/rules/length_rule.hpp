/// Lengths that depend on the day they start on. Used inside this module only.
#pragma once

#include <cstdint>
#include <vector>

#include "levelling/search/bounds.hpp"

namespace budwood::levelling {

/// The bounds of both ends of monotone lengths: a rise on either side of one end is a rise of the
/// same side of the other, so bounds are enough and facts are explained by the weakest day that
/// still gives them.
class LengthRule {
 public:
  /// Cuts the windows of the starts to the days whose end is known. False when none is left.
  static bool cut_windows(const std::vector<Length>& lengths, std::vector<Variable>& variables);

  /// Borrows the lengths, whose points are the variables.
  LengthRule(std::size_t variables, const std::vector<Length>& lengths);

  bool propagate(Bounds& bounds, SideId side) const;
  bool propagate_all(Bounds& bounds) const;
  void explain(const Bounds& bounds, std::uint32_t length, Fact pushed,
               std::vector<Fact>& facts) const;

 private:
  bool push_end(Bounds& bounds, std::uint32_t id, bool lower) const;
  bool push_start(Bounds& bounds, std::uint32_t id, bool lower) const;

  const std::vector<Length>* lengths_;
  std::vector<std::vector<std::uint32_t>> touching_;  ///< by variable
};

}  // namespace budwood::levelling
