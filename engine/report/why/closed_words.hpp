#pragma once

#include "report/why/why_words.hpp"

/// Days on which something cannot be done, in words.
namespace budwood::report {

/// Of the latest of the days alone, for a sentence by itself: "14 March is a Sunday and "Sow" in
/// `sowing` needs people".
std::string closed_day_text(const Asked& asked, const sheet::ClosedDays& closed,
                            const DayWords& words);
/// Of all the days, where the stage has just been named: ""Sow" needs people, and 14 March is a
/// Sunday, 13 March a Saturday".
std::string closed_days_text(const Asked& asked, const sheet::ClosedDays& closed,
                             const DayWords& words);

}  // namespace budwood::report
