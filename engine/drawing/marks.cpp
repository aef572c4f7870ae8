#include "drawing/marks.hpp"

namespace budwood::drawing {

void draw_whisker(Svg& svg, double from, double to, double y, const Pen& pen) {
  constexpr double half = 3;
  svg.lines({{from, y}, {to, y}}, pen);
  for (const double x : {from, to}) svg.lines({{x, y - half}, {x, y + half}}, pen);
}

void draw_diamond(Svg& svg, const Point& middle) {
  constexpr double half = 6;
  svg.outline({{middle.x - half, middle.y},
               {middle.x, middle.y - half},
               {middle.x + half, middle.y},
               {middle.x, middle.y + half}},
              {1.2, Pen::Dash::none, Pen::Fill::white});
}

void draw_mark(Svg& svg, const Point& middle, bool full) {
  constexpr double half = 2.5;
  svg.rect({middle.x - half, middle.y - half, 2 * half, 2 * half},
           {1, Pen::Dash::none, full ? Pen::Fill::black : Pen::Fill::white});
}

}  // namespace budwood::drawing
