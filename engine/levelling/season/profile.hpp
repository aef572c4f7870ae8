/// Private to this module.
#pragma once

#include <optional>
#include <vector>

#include "levelling/problem.hpp"

namespace budwood::levelling {

/// What is free of each resource day by day; below 0 where more is taken than there is.
class Profile {
 public:
  /// Of all days that the windows of the problem's points allow.
  explicit Profile(const Problem& problem);

  Amount free(ResourceId resource, Day day) const { return free_[at(resource, day)]; }
  /// What is free on a day and on those after it.
  const Amount* row(ResourceId resource, Day day) const { return free_.data() + at(resource, day); }
  /// Days from `first` to before `end`; none when `end` is not after `first`.
  void take(ResourceId resource, Amount amount, Day first, Day end);
  void give_back(ResourceId resource, Amount amount, Day first, Day end) {
    take(resource, -amount, first, end);
  }
  /// The first of the days on which less than `amount` is free.
  std::optional<Day> first_short(ResourceId resource, Amount amount, Day first, Day end) const;
  /// How much more is taken than there is, added up over the days.
  Amount missing(ResourceId resource, Day first, Day end) const;

  /// What is taken of resources that are to be even, squared and added up over all days.
  double unevenness() const { return unevenness_; }
  /// After everything was given back as it was, so that rounding does not add up.
  void set_unevenness(double sum) { unevenness_ = sum; }

  Day first_day() const { return first_; }
  Day last_day() const { return first_ + days_ - 1; }

 private:
  std::size_t at(ResourceId resource, Day day) const {
    return static_cast<std::size_t>(resource) * static_cast<std::size_t>(days_) +
           static_cast<std::size_t>(day - first_);
  }

  const Problem& problem_;
  Day first_ = 0;
  Day days_ = 0;
  std::vector<Amount> free_;  ///< by resource, then by day
  double unevenness_ = 0;
};

}  // namespace budwood::levelling
