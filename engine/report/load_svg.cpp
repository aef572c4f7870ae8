#include <algorithm>
#include <ostream>

#include "report/load_picture.hpp"

namespace budwood::report {

namespace {

constexpr double margin = 16;
constexpr double title_height = 26;
constexpr double narrowest = 640;

const drawing::TextStyle title_text{15, true};

}  // namespace

void write_load_svg(std::ostream& out, const LoadPicture& picture) {
  constexpr double left = margin + lanes_indent;
  const double plot = picture.day_width * static_cast<double>(picture.days.size());
  const double width = std::max(narrowest, left + plot + margin);
  const drawing::Legend legend(load_legend(), width - 2 * margin);
  const double axis_top = margin + title_height + legend.height();
  const double lanes_top = axis_top + drawing::DateAxis::height;
  const double bottom = lanes_top + lanes_height(picture);
  drawing::Svg svg(
      out, width, bottom + margin, picture.title,
      "Lanes of days: the space that batches take of each room, and the hours that are "
      "wanted of each crew, against what there is.");
  svg.text({margin, margin + title_text.size},
           drawing::wrap_text(picture.title, width - 2 * margin, 1, title_text).front(),
           title_text);
  legend.draw(svg, {margin, margin + title_height});
  const drawing::DateAxis axis(picture.days, left, picture.day_width);
  axis.draw_labels(svg, axis_top);
  axis.draw_lines(svg, lanes_top, bottom);
  draw_lanes(svg, picture, left, lanes_top);
}

}  // namespace budwood::report
