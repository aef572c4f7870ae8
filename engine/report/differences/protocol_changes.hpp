#pragma once

#include <iosfwd>

#include "report/differences/comparison.hpp"
#include "report/formats/format.hpp"
#include "share/compare.hpp"

namespace budwood::report {

/// Two protocols and what differs, and if wanted a book planned with either.
struct ProtocolComparison {
  const language::Protocol& before;
  const language::Protocol& after;
  const share::ProtocolChanges& changes;
  const Comparison* plans = nullptr;
};

/// Writes what one protocol says otherwise than another.
///
/// Table: sentences, those of a stage together; then what it means for the batches of a book: their
/// dates, numbers, hours and costs, conflicts and notes that are new or gone. CSV: one row a
/// change, then one a value of a batch. JSON: the same as objects.
void write_protocol_changes(std::ostream& out, const ProtocolComparison& comparison, Format format,
                            const Style& style = {});

}  // namespace budwood::report
