/// What the record teaches: for each input behind a share or a rate of work the value that it
/// supports, and how far batches and trays differ.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "results/summary.hpp"
#include "units/units.hpp"

namespace budwood::results {

/// From so many batches on, mean and spread are learned from them alone.
inline constexpr std::size_t enough_batches = 5;
/// The likeness of two plants of a batch, and of a tray, that is taken for granted until then:
/// common practice, no published source.
inline constexpr double default_likeness = 0.02;
/// What the protocol's own value counts for until then: as if so many plants had been counted.
/// Common practice, no published source.
inline constexpr double weight_of_protocol = 20;

struct Learned {
  std::string protocol;  ///< with its variant: "bench_graft.splice"
  std::string input;
  std::string stage;                ///< on whose counts it rests
  bool is_share = true;             ///< else a rate of work, plants a second of one person
  units::Unit unit;                 ///< for showing
  double usual = 0;                 ///< as the protocol has it; base units
  double value = 0;                 ///< learned; base units
  statistics::Interval interval;    ///< of the learned value, 95 %
  std::int64_t good = 0, seen = 0;  ///< plants, of a share that comes through
  std::size_t batches = 0, trays = 0, jobs = 0;
  /// Learned from the batches; false: too few of them, the protocol's value and a default stood in.
  bool from_batches = false;
  double between_batches = 0;                  ///< likeness, never below 0
  std::optional<double> between_trays;         ///< likeness within trays, where trays were counted
  std::int64_t next_plants = 0;                ///< of a batch of the usual size
  std::optional<statistics::Interval> next;    ///< shares within which 95 of 100 such batches lie
  std::optional<std::int64_t> starts_for_100;  ///< to have 100 with 95 %, batches differing so
};

/// Over all batches of some books, by protocol and input. Inputs of which nothing was counted are
/// left out.
std::vector<Learned> learn(const std::vector<Asked>& books);

/// So few came through that luck alone seldom makes it.
struct BelowExpectation {
  std::string batch, stage;
  statistics::Group plants;
  double usual = 0;   ///< the share that was expected
  double chance = 0;  ///< of so few or fewer, if all is as usual; batches differing by the default
  std::vector<std::string> facts;  ///< what is known of it: lot, person, room, deviations
};
/// Batches of which so few are alive in a stage, all trays together, as come in 1 of 20 or less.
std::vector<BelowExpectation> below_expectation(const plan::Plan& plan);

}  // namespace budwood::results
