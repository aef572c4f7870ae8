/// Private to this module.
///
/// What an order's day rests on besides its own stage: where its crew has time, and the works that
/// it comes after.
#pragma once

namespace budwood::plan {

struct Plan;

/// Puts each order of work that may be done on any of several days (`between`) on the first of them
/// on which its crew has the hours for it beside all else that it does; where there is none, on the
/// one on which most is left of its hours. Orders that were noted, levelled or are spread over days
/// stay. Then no order is left before one that it comes `after`, nor on the day of one that goes on
/// `overnight`.
void choose_days(Plan& plan);

}  // namespace budwood::plan
