/// What happened to plants day by day: how many are still alive, or have come up.
#pragma once

#include <string>
#include <vector>

#include "results/summary.hpp"
#include "statistics/spread/survival.hpp"

namespace budwood::results {

enum class CurveOf : std::uint8_t {
  survival,    ///< plants are lost one by one, or found gone at a count
  germination  ///< they come up: each count is of those that have
};

/// One count of a group: a tray, or a batch that was not counted by trays.
struct CurveUnit {
  std::string block;  ///< within which the lot gave it to its arm, else the batch
  std::vector<statistics::Followed> plants;
  std::string changed_trial;  ///< its trial, when that was changed after the trays were drawn
};

/// One group in one stage, counted from the first day of the stage.
struct Curve {
  std::size_t book = 0;
  std::string group, protocol, stage, title;
  std::int64_t plants = 0;  ///< that went in
  std::vector<CurveUnit> units;
  std::vector<statistics::SurvivalStep> steps;  ///< of survival; germination is 1 less it
  /// Plants that were out of sight from a day on: alive, or not up, when they were counted last.
  std::vector<statistics::Followed> unfinished;
  std::int64_t under_way = 0;  ///< of them those whose stage is not over yet
  double last = 0;             ///< the last day that is known of any
};

/// All plants of a curve.
std::vector<statistics::Followed> plants_of(const Curve& curve);

/// The curves of all counts that are no samples, by the groups of the question. Losses and counts
/// of a tray belong to the tray; a count above the one before is a correction and takes nothing
/// back.
std::vector<Curve> curves_of(const std::vector<Asked>& books, const Question& question,
                             CurveOf what);

}  // namespace budwood::results
