/// Open benchmark networks with minimum and maximum lags and limited capacity, as files.
#pragma once

#include <cstddef>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "levelling/levelling.hpp"

namespace budwood::levelling {

/// A `.sch` file as it stands: activities 0 (source) to n + 1 (sink).
struct RawNetwork {
  struct Follow {
    std::size_t activity = 0;
    int lag = 0;
  };
  struct Activity {
    int duration = 0;
    std::vector<int> demands;
    std::vector<Follow> follows;
  };
  std::vector<Activity> activities;
  std::vector<int> capacities;
};

/// Nothing when the text is not of this form.
std::optional<RawNetwork> read_network(std::istream& in);

/// Days from 0 to the sum of what each activity can need at most; the objective is the sink's day.
Problem problem_of(const RawNetwork& network);

/// What a list of starts breaks, read off the raw network by the definition; empty when nothing.
std::string check_starts(const RawNetwork& network, const std::vector<Day>& starts);

}  // namespace budwood::levelling
