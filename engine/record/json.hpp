#pragma once

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "record/entry.hpp"
#include "text/text.hpp"

namespace budwood::record {

/// An entry as one JSON object on one line, without a line break.
std::string json_of(const Entry& entry);

/// Entries, one JSON object a line, as `json_of` writes them. Mistakes are reported; then what
/// comes back is not all.
std::vector<Entry> read_json_lines(const text::Source& source, text::Diagnostics& diagnostics);

/// "[{...}]" of what was used, and back; nothing when it is none.
std::string used_json(const std::vector<Used>& used);
std::optional<std::vector<Used>> read_used(const std::string& json);

}  // namespace budwood::record
