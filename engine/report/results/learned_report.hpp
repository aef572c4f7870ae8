#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "results/learn.hpp"

namespace budwood::report {

/// Writes what was learned. Table: some sentences an input.
/// CSV and JSON: a row or object each, shares and rates as numbers in the unit beside them.
void write_learned(std::ostream& out, const std::vector<results::Learned>& all, Format format,
                   const Style& style = {});

/// Below a table: how people got faster, a paragraph a work and person.
void write_curves(std::ostream& out, const std::vector<results::LearnedCurve>& all,
                  const Style& style = {});

/// "42 of 80 in `healing`, where 70 % is usual: so few come in 1 of 38 batches when all is as
/// usual."
std::string below_text(const results::BelowExpectation& below);
/// Warns of it, with what the protocol says for such a case.
void tell_below(const results::BelowExpectation& below, text::Diagnostics& diagnostics);

}  // namespace budwood::report
