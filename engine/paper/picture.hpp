#pragma once

#include <string>

#include "paper/html.hpp"

namespace budwood::paper {

/// Puts an SVG picture on the page as an image of its own, so that nothing in it (names of its
/// patterns, styles) meets the page or another picture. `words` are for people who cannot see it.
void write_picture(Html& html, const std::string& svg, std::string_view words);

}  // namespace budwood::paper
