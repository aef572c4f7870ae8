/// Private to this module.
#pragma once

#include <string>

namespace budwood::book {

/// Text in double quotes: what YAML could take for something else stays text.
std::string as_quoted(const std::string& text);

/// Text as people would write it as a key or value, also within braces; in quotes where YAML could
/// take it for something else: nothing, a list, a remark.
std::string as_scalar(const std::string& text);

}  // namespace budwood::book
