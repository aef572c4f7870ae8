#pragma once

#include <iosfwd>
#include <vector>

#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "results/replicates.hpp"

namespace budwood::report {

/// Writes tests of seed and what the tables of tolerance say of them. Table, CSV, JSON: a row a
/// test.
void write_replicates(std::ostream& out, const std::vector<results::SeedTest>& tests, Format format,
                      const Style& style = {});

}  // namespace budwood::report
