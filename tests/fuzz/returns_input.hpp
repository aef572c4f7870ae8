#pragma once

#include "any_batch.hpp"
#include "fuzzing.hpp"
#include "record/returns.hpp"

namespace budwood::fuzz {

/// Reads a work sheet that came back as far as entries. What is wrong is told of cells.
inline void read_returned(const record::ReturnTable& table, text::Sources& sources) {
  const AnyBatch known;
  text::Diagnostics found;
  record::Returns returns(table, sources);
  std::size_t understood = 0;
  for (const auto& line : returns.lines(found)) {
    if (record::understand(line, known, {}, found)) ++understood;
  }
  text::Diagnostics told;
  returns.tell(found, told);
  check_told(told);
  must(!found.has_errors() || told.has_errors(), "a mistake that is not told");
  for (const text::Diagnostic& d : told.sorted()) {
    const bool of_heads = d.code == "missing-column";
    must(of_heads || d.message.starts_with("Row "), "a mistake without its row");
  }
  accepted = understood > 0 && !told.has_errors();
}

}  // namespace budwood::fuzz
