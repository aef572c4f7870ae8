/// Private to this module.
///
/// Work that is more than its crew does in a day has equal shares: of all numbers of days the
/// one that is done first, on days on which the crew is there long enough for a share. On a
/// short Friday nothing is done rather than that all days shrink.
#pragma once

#include <vector>

#include "book/site/site.hpp"

namespace budwood::plan {

/// The days on which a crew does a piece of work, an equal share on each.
struct SpreadDays {
  std::vector<calendar::Day> days;  ///< at least one
  bool fits = true;                 ///< false: the crew is not there long enough on these days
};

/// Spreads `wanted` person-seconds over days from `first` to `limit`, a day on which the site works
/// (`first` is one of them when nobody of the crew is ever there). On each the crew is there long
/// enough for its share; of all such choices the one that is done first, with the fewest days. When
/// there is none, the days on which it is there at all, as many as would do without `limit`.
SpreadDays spread_days(const book::Site& site, const book::Crew& crew, double wanted,
                       calendar::Day first, calendar::Day limit);

}  // namespace budwood::plan
