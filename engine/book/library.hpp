#pragma once

#include <filesystem>
#include <vector>

#include "language/language.hpp"

namespace budwood::book {

/// Reads every protocol (*.bud) in a folder, in the order of the file names, and adds it. A folder
/// that is not there is reported at `span`; two protocols of one name and edition are an error.
void read_protocols(const std::filesystem::path& folder, const text::Span& span,
                    text::Sources& sources, text::Diagnostics& diagnostics,
                    std::vector<language::Protocol>& protocols);

}  // namespace budwood::book
