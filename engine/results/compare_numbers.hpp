/// Two groups held against each other in what is no share: rates of work, days, costs, and how what
/// was counted came about day by day.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "results/compare.hpp"
#include "results/curves.hpp"

namespace budwood::results {

struct NumberSide {
  std::string name;
  std::size_t units = 0;  ///< jobs, times, batches; trays of a course
  double value = 0;       ///< of a course the day on which half were lost or up; a NaN: never
};

struct ComparedNumbers {
  std::string protocol, stage, title;
  NumberSide first, second;
  std::string changed_trial;  ///< as of Compared
  bool answered = false;      ///< both have two units or more, or a course that can tell them apart
  bool apart = false;         ///< more than luck can do
  bool first_more = false;    ///< the first has the larger value, or has it sooner of a course
  double difference = 0;      ///< first less second; not of a course
  std::optional<statistics::Interval> interval;     ///< 95 %
  std::optional<statistics::PermutationTest> lots;  ///< of a course by trays
  std::optional<statistics::LogRankTest> log_rank;  ///< of a course, from plants
  double p = 1, p_adjusted = 1;                     ///< by Holm, over all that was asked
  std::string p_method;
};

/// Rates, days and costs, `question.of` them: Welch's test of both with their errors, jobs, times
/// and batches as units.
std::vector<ComparedNumbers> compare_numbers(const std::vector<Asked>& books,
                                             const Question& question, const NamedPair& pair);

/// Whether plants are lost, or come up, sooner in one of two groups: by the lots of trays within
/// blocks where each has two trays or more (log-rank scores), else the log-rank test of plants.
std::vector<ComparedNumbers> compare_courses(const std::vector<Asked>& books,
                                             const Question& question, const NamedPair& pair,
                                             CurveOf what);

}  // namespace budwood::results
