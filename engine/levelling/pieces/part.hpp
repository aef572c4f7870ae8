/// A part of a problem, everything else held where a schedule has it. Used inside this module only.
#pragma once

#include <vector>

#include "levelling/search/links.hpp"

namespace budwood::levelling {

/// A small problem of its own: what the rest takes is no longer there, what binds freed points to
/// held ones has become windows. Points that a length or a use binds to freed ones are kept, with
/// one day each.
class Part {
 public:
  /// The schedule breaks nothing; the takings are its own. `freed` has no point twice.
  Part(const Problem& whole, const Links& links, const Takings& takings, const Schedule& schedule,
       const std::vector<PointId>& freed);

  const Problem& problem() const { return problem_; }
  /// The part of the schedule.
  const Schedule& start() const { return start_; }
  /// Puts a schedule of the part into the whole one and its takings.
  void write(const Schedule& part, const Problem& whole, Schedule& schedule,
             Takings& takings) const;

 private:
  static constexpr PointId none = UINT32_MAX;

  PointId local(PointId point);
  void add_points(const std::vector<PointId>& freed);
  void add_lags(const std::vector<PointId>& freed);
  void add_lengths(const std::vector<PointId>& freed);
  void add_uses(const std::vector<PointId>& freed);
  void add_resources();
  void add_objectives();

  const Problem& whole_;
  const Links& links_;
  const Takings& takings_;
  const Schedule& schedule_;
  Problem problem_;
  Schedule start_;
  std::vector<PointId> points_;      ///< what the points are in the whole problem
  std::vector<std::uint32_t> uses_;  ///< what the uses are there
  std::vector<PointId> local_;       ///< by point of the whole problem
  std::size_t freed_count_ = 0;
};

}  // namespace budwood::levelling
