#pragma once

#include <filesystem>
#include <vector>

#include "book/site.hpp"
#include "language/language.hpp"

namespace budwood::book {

/// Reads every protocol and rule set (*.bud) in a folder and in `rules` under it, in the order of the
/// file names, and adds it. A folder that is not there is reported at `span`; two protocols or rule
/// sets of one name and edition are an error.
void read_library(const std::filesystem::path& folder, const text::Span& span,
                  text::Sources& sources, text::Diagnostics& diagnostics,
                  language::Document& library);

/// Gives every protocol the rules that a site names and what it waives of them.
void follow_rules(const Site& site, text::Diagnostics& diagnostics, language::Document& library);

}  // namespace budwood::book
