/// The begin of a use that is left out where it cannot be done. Used inside this module only.
#pragma once

#include <optional>

#include "levelling/problem.hpp"

namespace budwood::levelling {

/// A use that may begin up to `slack` days after a day D, on one of the days in `starts`. Where
/// `starts` has no day from D to D + slack, it is left out; its begin then is D + wanted, where it
/// costs nothing.
///
/// So the begin lies between the least and the most that D allows, both never fall for a later D,
/// and as no begin of a use that is left out is in `starts`, the begin alone tells whether it is.
class OptionalBegin {
 public:
  /// Borrows the use's `starts`. Its days D go from `first` to `last`.
  OptionalBegin(const Use& use, Day first, Day last);

  /// The begins of the use when it is left out.
  const calendar::DaySet& missed() const { return missed_; }
  /// Those and the days in `starts`.
  const calendar::DaySet& allowed() const { return allowed_; }

  /// begin <= most.end_of(D).
  const network::MonotoneLength& most() const { return most_; }
  /// D <= least.end_of(begin).
  const network::MonotoneLength& least() const { return least_; }

 private:
  /// Of one use, days D and begins.
  struct Days {
    const calendar::DaySet* starts = nullptr;
    Day slack = 0;
    Day wanted = 0;
    Day offset = 0;  ///< D is the point's day and this

    bool can(Day day) const;
    Day least_begin(Day day) const;
    Day most_begin(Day day) const;
    /// The last D whose least begin is on or before a day.
    Day last_of_least(Day begin) const;
    /// The last D whose most begin is.
    Day last_of_most(Day begin) const;
    /// The last D that is over before the first start after a day.
    Day before_next_start(Day day) const;
  };
  class Most : public network::MonotoneLength {
   public:
    explicit Most(const Days& days) : days_(days) {}
    std::optional<Day> end_of(Day point) const override;
    std::optional<Day> latest_start(Day begin) const override;

   private:
    Days days_;
  };
  class Least : public network::MonotoneLength {
   public:
    explicit Least(const Days& days) : days_(days) {}
    std::optional<Day> end_of(Day begin) const override;
    std::optional<Day> latest_start(Day point) const override;

   private:
    Days days_;
  };

  Days days_;
  calendar::DaySet missed_, allowed_;
  Most most_;
  Least least_;
};

}  // namespace budwood::levelling
