#pragma once

#include <iosfwd>
#include <vector>

#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "share/editions.hpp"

namespace budwood::report {

/// Writes the editions of protocols and rule sets; of a book also the batches that are on them. The
/// table shows the first digits of a fingerprint, CSV (one row an edition) and JSON all of them.
void write_editions(std::ostream& out, const std::vector<share::EditionFacts>& editions,
                    bool of_book, Format format, const Style& style = {});

}  // namespace budwood::report
