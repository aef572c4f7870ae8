#pragma once

#include <string>
#include <string_view>

namespace budwood::text {

/// User text as it may reach a terminal, on one line. Control characters, line separators,
/// characters that turn the writing direction round, and bytes that are no UTF-8 each become '?', a
/// tab becomes a space: whatever a file holds, it cannot steer the screen.
std::string printable(std::string_view text);

/// How many columns `printable` text takes on a terminal: none for combining marks and joiners, two
/// for East Asian wide characters and emoji (after Unicode Standard Annex 11), else one.
std::size_t display_width(std::string_view text);

/// Bytes of the longest front part of `printable` text that takes at most `width` columns, with the
/// combining marks that belong to it; never less than one character of a text that is not empty.
std::size_t fitting_bytes(std::string_view text, std::size_t width);

}  // namespace budwood::text
