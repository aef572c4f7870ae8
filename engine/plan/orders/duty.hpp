/// Private to this module.
///
/// Leaves wilt on Sundays too. Work that looks after plants (tagged `watch`, `water` or `settings`)
/// is done by whoever has duty on a day on which the site does not work, else on the day before;
/// what finds neither is told, and a conflict where plants can be lost for it.
#pragma once

#include <optional>
#include <vector>

#include "book/site/site.hpp"
#include "plan/orders/turns.hpp"

namespace budwood::plan {

struct BatchPlan;
struct Expanded;
struct Plan;

/// When work of a day on which the site does not work is done.
struct DutyDay {
  bool applies = false;  ///< it is such work, due on such a day
  bool on_duty = false;
  std::optional<calendar::Day> date;  ///< none: nobody does it
};
DutyDay duty_day(const book::Site& site, const language::Work& work, const std::vector<Turn>& turns,
                 const Turn& turn, const StageSpan& span);

/// Tells of a turn that nobody does. A conflict (`nobody-there`) when the work is due but once, or
/// when plants have come under mist or into air of 90 % and more within a week before; the days of
/// one stage are told together.
void report_unwatched(const Plan& plan, const BatchPlan& batch, StageId stage, WorkId work,
                      const Turn& turn, Expanded& out);

}  // namespace budwood::plan
