/// Drawing: SVG pictures in black on white, the pieces that several of them share, and how text and
/// days are divided into lines, weeks and months.
#pragma once

#include "drawing/date_axis.hpp"
#include "drawing/day_range.hpp"
#include "drawing/legend.hpp"
#include "drawing/marks.hpp"
#include "drawing/places.hpp"
#include "drawing/svg.hpp"
#include "drawing/wrap.hpp"
