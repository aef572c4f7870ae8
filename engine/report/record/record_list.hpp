#pragma once

#include <iosfwd>
#include <vector>

#include "record/entry.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"

namespace budwood::report {

/// Writes some entries of a record, with what has become of each among `all`. Table: short ids.
/// CSV: one row an entry. JSON: a list of objects, as `--export` writes them, each with `holds`.
void write_record(std::ostream& out, const std::vector<record::Entry>& entries,
                  const std::vector<record::Entry>& all, Format format, const Style& style = {});

/// Writes a sheet to fill in and to give back, as CSV: the work orders that pass the filter, with
/// empty columns for what was done. Gives how many they are.
std::size_t write_returns(std::ostream& out, const plan::Plan& plan, const Filter& filter);

}  // namespace budwood::report
