#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "results/compare.hpp"

namespace budwood::report {

/// Writes comparisons, first whether groups differ at all. Table: for each stage the sentence that
/// answers first, then what it rests on. CSV: a row a stage. JSON: a list of objects, null where
/// there is no value.
void write_compared(std::ostream& out, const std::vector<results::Together>& together,
                    const std::vector<results::Compared>& all, Format format,
                    const Style& style = {});

/// "splice took better: 78 % against 61 %, 8 to 26 points; by lot alone so large a difference comes
/// 1 time in 126." Never says better where an interval holds 0 or luck makes as much too often.
std::string answer(const results::Compared& one);
/// "Of 3 groups at least two differ by more than luck ..."
std::string together_text(const results::Together& one);
/// "1 time in 126".
std::string how_often(double p);
/// That trays are of another lot.
std::string changed_trial_text(const std::string& trial);
std::string holm_text(double p, double adjusted);
/// What the answer rests on and what else is to be known, a sentence each.
std::vector<std::string> grounds(const results::Compared& one);

}  // namespace budwood::report
