#include <algorithm>
#include <ostream>

#include "pictures/load/load_picture.hpp"
#include "pictures/pictures.hpp"

namespace budwood::pictures {

namespace {

constexpr double page_margin = 16;
constexpr double page_title_height = 26;
constexpr double narrowest_page = 640;

const drawing::TextStyle page_title_text{15, true};

}  // namespace

void write_load_svg(std::ostream& out, const LoadPicture& picture) {
  constexpr double left = page_margin + lanes_indent;
  const double plot = picture.day_width * static_cast<double>(picture.days.size());
  const double width = std::max(narrowest_page, left + plot + page_margin);
  const drawing::Legend legend(load_legend(), width - 2 * page_margin);
  const double axis_top = page_margin + page_title_height + legend.height();
  const double lanes_top = axis_top + drawing::DateAxis::height;
  const double bottom = lanes_top + lanes_height(picture);
  drawing::Svg svg(
      out, width, bottom + page_margin, picture.title,
      "Lanes of days: the space that batches take of each room, and the hours that are "
      "wanted of each crew, against what there is.");
  svg.text({page_margin, page_margin + page_title_text.size},
           drawing::wrap_text(picture.title, width - 2 * page_margin, 1, page_title_text).front(),
           page_title_text);
  legend.draw(svg, {page_margin, page_margin + page_title_height});
  const drawing::DateAxis axis(picture.days, left, picture.day_width);
  axis.draw_labels(svg, axis_top);
  axis.draw_lines(svg, lanes_top, bottom);
  draw_lanes(svg, picture, left, lanes_top);
}

bool write_load_picture(std::ostream& out, const plan::Plan& plan, const plan::Load& load,
                        const report::Filter& filter) {
  const report::ShownLoad shown = report::shown_load(plan, load, filter);
  write_load_svg(out, load_picture(plan, shown));
  return shown.fits();
}

}  // namespace budwood::pictures
