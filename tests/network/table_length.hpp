#pragma once

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

#include "network/network.hpp"

namespace budwood::network {

/// A length given as the end of each start of a short series; the ends never fall.
class TableLength : public MonotoneLength {
 public:
  TableLength(Day first_start, std::vector<Day> ends)
      : first_start_(first_start), ends_(std::move(ends)) {}

  std::optional<Day> end_of(Day start) const override {
    if (start < first_start_ || start >= first_start_ + static_cast<Day>(ends_.size())) return {};
    return ends_[static_cast<std::size_t>(start - first_start_)];
  }
  std::optional<Day> latest_start(Day end) const override {
    const auto after = std::upper_bound(ends_.begin(), ends_.end(), end);
    if (after == ends_.begin()) return {};
    return first_start_ + static_cast<Day>(after - ends_.begin()) - 1;
  }

 private:
  Day first_start_;
  std::vector<Day> ends_;
};

}  // namespace budwood::network
