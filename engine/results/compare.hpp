/// Two groups held against each other: which took better, by how much, and whether that may be
/// luck.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "results/summary.hpp"
#include "statistics/comparing/groups_compared.hpp"
#include "statistics/comparing/permutation.hpp"
#include "statistics/comparing/strata.hpp"

namespace budwood::results {

/// One of the two.
struct Side {
  std::string name;
  statistics::Group plants;
  std::size_t units = 0;  ///< trays, or batches where nobody counted by trays
  std::optional<statistics::Interval> interval;
};

/// What else differed between the two, when trays were not given to them by lot.
struct Unlike {
  std::string what;  ///< "week", "person", "room", "lot"
  std::string first, second;
};

enum class Verdict : std::uint8_t {
  better,  ///< the first took better: its interval leaves 0 out, and luck seldom does that
  worse,
  unsure,     ///< no more than luck can do
  no_answer,  ///< one of them has no count
};

struct Compared {
  std::string protocol, stage, title;
  Side first, second;
  Verdict verdict = Verdict::no_answer;
  /// There is no answer because this trial was changed after its trays were drawn.
  std::string changed_trial;
  double difference = 0;                         ///< of the shares of all plants
  std::optional<statistics::Interval> interval;  ///< 95 %, by `method`
  std::string method;
  /// By lot, where each has two trays or more: exact, or a sample of a stated size.
  std::optional<statistics::PermutationTest> lots;
  /// Of plants as if each had luck of its own, and with each side's design effect respected.
  std::optional<statistics::ChiSquareTest> plants_alone, scatter_respected;
  /// The smallest p that so few trays can reach.
  std::optional<double> smallest_p;
  double p = 1;           ///< the one that decides: by lot, or Fisher's where there are no trays
  double p_adjusted = 1;  ///< by Holm, over all comparisons and looks asked for at once
  std::string p_method;
  int looks = 1;
  /// Of a trial: the days on which its trays were counted in this stage. Whoever compared after
  /// each of them has looked so often.
  int days_counted = 0;
  double limit_of_days = 0.05;  ///< for p, if each of these days was a look
  double limit = 0.05;          ///< p must not be above it, so that all looks together keep 5 %
  /// Over several batches that have both: common difference by Mantel and Haenszel.
  std::optional<statistics::CommonDifference> common;
  std::optional<statistics::CommonOddsRatio> common_odds;
  std::optional<double> common_p;  ///< from plants, by `common_p_method`
  std::string common_p_method;
  std::optional<statistics::BreslowDayTest> alike;  ///< a small p: batches differ in it
  std::size_t batches_with_both = 0;
  std::optional<std::int64_t> plants_needed;  ///< an arm, to tell such a difference with 80 %
  std::optional<std::int64_t> trays_needed;
  bool by_lot = false;  ///< trays were given to the two by lot
  std::vector<Unlike> unlike;
};

/// The names of two groups.
using NamedPair = std::pair<std::string, std::string>;

/// Compares pairs of groups of `by` in every stage of which either has counts. With trays the test
/// rests on the trays within batches; without them on the plants, by Newcombe's interval and
/// Fisher's test, which say too much where batches scatter. `looks`: how often the trial was looked
/// at, this time included, 1 to 100; the limit for p is Pocock's.
std::vector<Compared> compare(const std::vector<Asked>& books, const Question& question,
                              const std::vector<NamedPair>& pairs, int looks = 1);

/// Whether three groups or more differ at all, before any two of them are held against each other.
/// Trials that were changed after their trays were drawn are left out.
struct Together {
  std::string protocol, stage, title;
  std::size_t groups = 0;
  std::optional<statistics::ChiSquareTest> test;  ///< nothing where all or none are alive
  bool from_trays = false;                        ///< each has two counts: by Rao and Scott
};
std::vector<Together> compare_together(const std::vector<Asked>& books, const Question& question);

/// The names of all groups that have counts, for messages.
std::vector<std::string> groups_with_counts(const std::vector<Asked>& books,
                                            const Question& question);

}  // namespace budwood::results
