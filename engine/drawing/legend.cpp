#include "drawing/legend.hpp"

#include <utility>

#include "drawing/marks.hpp"

namespace budwood::drawing {

namespace {

constexpr double row_height = 20;
constexpr double sample_width = 34;
constexpr double gap = 18;
const TextStyle words{10};

void draw_sample(Svg& svg, const LegendEntry& entry, double x, double y) {
  constexpr double wide = sample_width - 6;
  const Point middle{x + wide / 2, y + 5};
  switch (entry.sample) {
    case LegendEntry::Sample::area:
      svg.rect({x, y, wide, 10}, entry.pen);
      break;
    case LegendEntry::Sample::line:
      svg.lines({{x, y + 5}, {x + wide, y + 5}}, entry.pen);
      break;
    case LegendEntry::Sample::whisker:
      draw_whisker(svg, x, x + wide, y + 5, entry.pen);
      break;
    case LegendEntry::Sample::diamond:
      draw_diamond(svg, middle);
      break;
    case LegendEntry::Sample::square:
      draw_mark(svg, middle, false);
      break;
    case LegendEntry::Sample::full_square:
      draw_mark(svg, middle, true);
      break;
  }
}

}  // namespace

Legend::Legend(std::vector<LegendEntry> entries, double width) : entries_(std::move(entries)) {
  Point at;
  for (LegendEntry& entry : entries_) {
    entry.text = wrap_text(entry.text, width - sample_width, 1, words).front();
    const double need = sample_width + text_width(entry.text, words) + gap;
    if (at.x > 0 && at.x + need - gap > width) at = {0, at.y + row_height};
    places_.push_back(at);
    at.x += need;
  }
}

double Legend::height() const {
  return places_.empty() ? 0 : places_.back().y + row_height;
}

void Legend::draw(Svg& svg, const Point& at) const {
  for (std::size_t i = 0; i < entries_.size(); ++i) {
    const double x = at.x + places_[i].x;
    const double y = at.y + places_[i].y;
    draw_sample(svg, entries_[i], x, y);
    svg.text({x + sample_width, y + 9}, entries_[i].text, words);
  }
}

}  // namespace budwood::drawing
