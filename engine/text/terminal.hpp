#pragma once

#include <string>
#include <string_view>

namespace budwood::text {

/// User text as it may reach a terminal or a file of ours, on one line. Control characters, line
/// separators, characters that turn the writing direction round or that nobody sees, code points
/// that are no characters, and bytes that are no UTF-8 each become '?', a tab becomes a space:
/// whatever a file holds, it cannot steer the screen, look like another text, or make XML that is
/// none. Joiners and variation selectors stay where they belong: in joining scripts and emoji.
std::string printable(std::string_view text);

/// How many bytes at the front of a text are ASCII from the space to the tilde: `printable` leaves
/// them as they are.
std::size_t plain_bytes(std::string_view text);

/// How many columns `printable` text takes on a terminal: none for combining marks and joiners, two
/// for East Asian wide characters and emoji (Unicode Standard Annex 11), else one.
std::size_t display_width(std::string_view text);

/// Bytes of the longest front part of `printable` text that takes at most `width` columns, with the
/// combining marks that belong to it; never less than one character of a text that is not empty.
std::size_t fitting_bytes(std::string_view text, std::size_t width);

}  // namespace budwood::text
