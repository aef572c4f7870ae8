#pragma once

#include <string>
#include <string_view>

namespace budwood::language {

/// A stretch of a protocol on one line, comments left out.
std::string on_one_line(std::string_view text);

}  // namespace budwood::language
