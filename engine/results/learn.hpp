/// What the record teaches: for each input behind a share, a rate of work or a length the value
/// that it supports, and how far batches and trays differ.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "book/recorded/learned_values.hpp"
#include "results/summary.hpp"
#include "statistics/spread/quantile.hpp"
#include "statistics/spread/ratio.hpp"
#include "units/units.hpp"

namespace budwood::results {

/// From so many batches on, mean and spread are learned from them alone; from so many jobs or
/// stages on, a rate or a length is kept.
inline constexpr std::size_t enough_batches = 5;
/// The likeness of two plants of a batch, and of a tray, that is taken for granted until then:
/// common practice, no published source.
inline constexpr double default_likeness = 0.02;
/// What the protocol's own value counts for until then: as if so many plants had been counted.
/// Common practice, no published source.
inline constexpr double weight_of_protocol = 20;

/// Of how long a stage took: where early and late ones end, 5 and 95 of 100. Seconds.
struct LearnedRange {
  statistics::QuantileEstimate early, late;
  double shortest = 0, longest = 0;  ///< that were seen
  statistics::Interval written;      ///< as the protocol has it
  double chance_next_between = 0;    ///< that the next one lies between those seen
};

struct Learned {
  /// Of a length that no input alone says, `input` is empty and the stage stands for it.
  enum class Kind : std::uint8_t { share, rate, length };
  std::string protocol;  ///< with its variant: "bench_graft.splice"
  int edition = 1;
  std::string input;
  std::string stage;  ///< on whose counts it rests
  Kind kind = Kind::share;
  bool lost = false;                ///< the input is the share that is lost
  units::Unit unit;                 ///< for showing
  double usual = 0;                 ///< as the protocol has it; base units
  double value = 0;                 ///< learned; base units; of lengths the median
  statistics::Interval interval;    ///< of the learned value, 95 %; a NaN: too few to tell
  std::int64_t good = 0, seen = 0;  ///< plants, of a share that comes through
  std::size_t batches = 0, trays = 0, jobs = 0;  ///< `jobs`: of a length the times it was seen
  /// Learned from what was noted alone; false: too few batches, the protocol's value and a default
  /// stood in.
  bool from_batches = false;
  bool outside = false;        ///< of the range that the protocol allows it
  double between_batches = 0;  ///< likeness, never below 0
  /// Whether batches scatter more than a binomial does (Tarone): by luck alone so much.
  std::optional<double> batches_by_luck;
  std::optional<double> between_trays;         ///< likeness within trays, where trays were counted
  std::int64_t next_plants = 0;                ///< of a batch of the usual size
  std::optional<statistics::Interval> next;    ///< shares within which 95 of 100 such batches lie
  std::optional<std::int64_t> starts_for_100;  ///< to have 100 with 95 %, batches differing so
  std::optional<statistics::Ratio> minutes;    ///< of a rate: minutes a plant, sum over sum
  std::optional<LearnedRange> range;           ///< of a length
  calendar::Day until = 0;                     ///< the last day that was looked at
};

/// Over all batches of some books, by protocol, edition and input, then lengths of stages. Inputs
/// of which nothing was noted are left out.
std::vector<Learned> learn(const std::vector<Asked>& books);

/// What a book can keep of it: see book::LearnedValue. Left out are lengths that no input says,
/// rates and lengths that were noted fewer than `enough_batches` times, and what lies outside the
/// range that the protocol allows.
bool can_be_kept(const Learned& one);
book::LearnedValue kept_value(const Learned& one);

/// How somebody got faster at a work, a job a point.
struct LearnedCurve {
  std::string protocol, work, person;
  std::size_t jobs = 0;
  double plants = 0;                ///< of all jobs
  statistics::LearningCurve curve;  ///< seconds of the n-th plant
};
/// Of every work and person with three jobs or more. Each job stands at the plant in its middle.
std::vector<LearnedCurve> learning_curves(const std::vector<Asked>& books);

/// So few came through that luck alone seldom makes it.
struct BelowExpectation {
  std::string batch, stage;
  statistics::Group plants;
  double usual = 0;  ///< the share that was expected
  /// Of so few or fewer, if all is as usual; batches differing as was learned, else by the default.
  double chance = 0;
  std::vector<std::string> facts;  ///< what is known of it: lot, person, room, deviations
  std::vector<std::string> helps;  ///< what the protocol says `if` the stage goes badly
};
/// Batches of which so few are alive in a stage, all trays together, as come in 1 of 20 or less.
std::vector<BelowExpectation> below_expectation(const plan::Plan& plan);
/// What of it comes with what was noted in between.
std::vector<BelowExpectation> newly_below(const plan::Plan& before, const plan::Plan& after);

}  // namespace budwood::results
