#pragma once

#include "report/why_words.hpp"

/// Days on which something cannot be done, in words.
namespace budwood::report {

/// "14 March is a Sunday and "Sow" in `sowing` needs people"; of the latest of the days alone, or of
/// all of them.
std::string closed_text(const Asked& asked, const sheet::ClosedDays& closed, const DayWords& words,
                        bool all_days);

}  // namespace budwood::report
