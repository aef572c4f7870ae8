#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace budwood::drawing {

/// The text in lines of at most `width` columns, made printable, broken at spaces and where it
/// holds line breaks. A word that is longer than a line goes on in the next, nothing of it is lost.
/// At least one line.
std::vector<std::string> wrap(std::string_view text, std::size_t width);

}  // namespace budwood::drawing
