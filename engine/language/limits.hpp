/// What a method may say at most, whether it is written as a number or worked out for a batch: the
/// check of what is written, the cells of a batch and the files of a book look here, so that one
/// value is judged in one way. They keep slips of the pen out; no source. Base units (seconds,
/// shares of 1).
#pragma once

#include <limits>

#include "units/units.hpp"

namespace budwood::language {

/// From `low` to `high`; an open end does not belong to it.
struct Limit {
  double low = 0;
  double high = std::numeric_limits<double>::infinity();
  bool low_open = false;
  bool high_open = false;
  const char* rule = "";  ///< as a sentence, without its point

  constexpr bool hold(double value) const {
    return (low_open ? value > low : value >= low) && (high_open ? value < high : value <= high);
  }
  /// The same for values that count another unit, of so many base units.
  constexpr Limit in(double unit) const {
    return {low / unit, high / unit, low_open, high_open, rule};
  }
};

namespace limits {

inline constexpr double endless = std::numeric_limits<double>::infinity();
inline constexpr double day = units::seconds_a_day;
inline constexpr double most_plants = 1e7;  ///< of one batch
inline constexpr double most_people = 10'000;

inline constexpr Limit longest{0, 10'000 * day, true, false,
                               "A stage lasts longer than nothing and at most 10 000 days"};
inline constexpr Limit shortest{0, endless, false, false, "No stage is shorter than nothing"};
inline constexpr Limit heat_sum{0, endless, true, false,
                                "A sum of degree-days is more than nothing"};
inline constexpr Limit wait{0, 10'000 * day, false, false, "Plants wait for 0 to 10 000 days"};
inline constexpr Limit after{0, 10'000 * day, false, false,
                             "A stage comes 0 to 10 000 days after another"};
inline constexpr Limit yields{0, 10'000, true, false,
                              "A stage yields more than nothing and at most 10 000 for each plant"};
inline constexpr Limit minimum{0, most_plants, false, false,
                               "A stage starts with at most 10 million plants"};
inline constexpr Limit loses{0, 1, false, true, "A loss goes from 0 % to just under 100 %"};
inline constexpr Limit space{0, endless, true, false, "Space is more than nothing"};
/// For a person, in an hour: common practice, no published source.
inline constexpr double usual_spacing_rate = 500;
inline constexpr int latest_spacing = 3;  ///< days, where people do not work on its day
inline constexpr Limit portion{0, 1, false, false,
                               "A portion goes from 0 % to 100 % of the plants"};
/// For a person, in an hour, sorting included: common practice, no published source.
inline constexpr double usual_picking_rate = 400;
inline constexpr int latest_picking = 3;  ///< days, where people do not work on its day
inline constexpr Limit rate{0, endless, true, false, "A rate is more than nothing"};
inline constexpr Limit time{0, endless, true, false, "Work takes some time"};
inline constexpr Limit setup{0, endless, false, false, "No set-up takes less than no time"};
inline constexpr Limit people{1, most_people, false, false,
                              "Work takes one person or more, and at most 10 000"};
inline constexpr Limit no_entry{0, 60 * day, true, false,
                                "A room stays closed for longer than nothing and at most 60 days"};
inline constexpr Limit amount{0, endless, true, false, "What is used is more than nothing"};
inline constexpr Limit made{0, endless, true, false, "What is made is more than nothing"};
inline constexpr Limit keeps{0, 10'000 * day, true, false,
                             "What is made keeps for longer than nothing and at most 10 000 days"};
inline constexpr Limit feed_ec{0, 2, true, false,
                               "A solution has more than 0 and at most 20 mS/cm"};
inline constexpr Limit feed_ph{3, 9, false, false, "A feed has a pH from 3 to 9"};
inline constexpr int most_days_before = 366;  ///< from making to use
inline constexpr Limit per{0, endless, true, false, "`per` names some plants"};
inline constexpr Limit hours{0, day, true, false, "A day has 24 hours"};
inline constexpr Limit over{0, endless, true, false, "`over` is longer than nothing"};
inline constexpr Limit light_dose{0, 0.05};  ///< m, so up to 50 L/m2
inline constexpr Limit light_start{0.25, 100, false, false,
                                   "A start waits for 0.25 to 100 mol/m2 of light"};
inline constexpr Limit mist{
    0, day, true, false,
    "Mist pulses and their interval are longer than nothing and at most a day"};

}  // namespace limits

}  // namespace budwood::language
