/// Reads what a batch says of a trial. Private to this module.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "book/batches/batch.hpp"
#include "book/yaml/values.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// `trial: {arms: {tape: {}, clip: {variant: clipped}}, trays: 6, blocks: [left, right], seed: 7}`.
struct TrialPlan {
  struct Arm {
    std::string name;
    std::optional<Placed<std::string>> variant;
    std::map<std::string, Written> set;
  };
  std::vector<Arm> arms;
  int trays = 2;  ///< an arm
  std::vector<std::string> blocks;
  std::uint64_t seed = 1;
  text::Span span;
};

/// Nothing when the batch is no trial, or it is wrong, which is reported.
std::optional<TrialPlan> read_trial(const Fields& fields, text::Diagnostics& diagnostics);

/// The arms of each batch as batches of their own, called ID-A, ID-B, ...: each with an equal share
/// of the plants, rounded up. Names that become too long are reported, and nothing.
std::vector<Batch> split_by_arm(const std::vector<Batch>& batches, const TrialPlan& trial,
                                std::size_t longest_id, text::Diagnostics& diagnostics);

}  // namespace budwood::book
