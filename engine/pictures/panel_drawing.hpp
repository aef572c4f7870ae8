#pragma once

#include "drawing/drawing.hpp"
#include "pictures/settings_panels.hpp"

/// Draws one panel of settings. Private to this module.
namespace budwood::pictures {

inline constexpr double panel_indent = 188;  ///< of titles and scales, to the left of the days
inline constexpr double panel_names = 150;   ///< of the names of curves, to the right of them
inline constexpr double panel_height = 74;

void draw_panel(drawing::Svg& svg, const Panel& panel, const Section& section,
                const drawing::DateAxis& axis, double top);

}  // namespace budwood::pictures
