#pragma once

#include <string_view>

#include "drawing/svg.hpp"

/// How areas are filled. Private to this module.
namespace budwood::drawing {

/// The value of the attribute `fill`.
std::string_view fill_words(Pen::Fill fill);

/// The definition of a pattern that has to stand before what is filled with it; "" for what every
/// picture has or what needs none.
std::string_view pattern_words(Pen::Fill fill);

}  // namespace budwood::drawing
