#pragma once

#include <iosfwd>
#include <string>

#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "results/summary.hpp"

namespace budwood::report {

/// Writes results. Table: a row a group and stage, columns of what is asked for. CSV: one row each;
/// shares and limits as numbers. JSON: the same as objects, null where there is no value.
void write_results(std::ostream& out, const results::Summary& summary, Format format,
                   const Style& style = {});

/// "71.4 %", "1.26", "9 days": a value of these results, or a limit of it.
std::string result_text(double value, results::Of of);
/// "62.0 to 79.3 %"; "" when there is none.
std::string interval_text(const std::optional<statistics::Interval>& interval, results::Of of);
/// What the value is: "Share", "Plants an hour", "Days", "Cost a plant".
std::string result_name(results::Of of);
/// What a table says below its rows of how intervals and usual values are meant.
std::string results_note(const results::Summary& summary);

}  // namespace budwood::report
