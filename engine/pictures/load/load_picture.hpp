/// Batches are stacked by their coming and sink when one below leaves, so that the upper edge
/// is the exact sum and what is above the line is what is too much. A packing with fixed
/// heights would show gaps as load.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "drawing/drawing.hpp"
#include "report/load/load_view.hpp"

/// The picture of a load: lanes of days, worked out before it is drawn, alone or in a larger
/// picture.
namespace budwood::pictures {

/// What a lane has over time, in one level a day of the picture.
using Levels = std::vector<double>;

/// A batch in a room: between `low` and `high` of the lane's unit on the days [first, first +
/// size).
struct Band {
  std::string name;   ///< of the batch
  std::string title;  ///< for viewers that show it: batch, stage, days, amount
  std::size_t first = 0;
  Levels low, high;
  std::size_t cleaned = 0;  ///< so many of the last days are for cleaning
};

struct Lane {
  std::string title;               ///< "mist_frame"
  std::vector<std::string> lines;  ///< "holds 30 trays", "most 37 trays on Mon 2027-04-05"
  std::vector<Band> bands;         ///< of a room with few enough batches
  bool bars = false;               ///< of a crew: each day stands for itself
  Levels total;                    ///< of all
  Levels limit;                    ///< by day; empty: none is told
  bool too_many = false;           ///< more batches than can be drawn one by one
  double top = 1;                  ///< the level at the upper edge
  double unit = 1;                 ///< of the scale beside it, in levels
  std::string unit_name;           ///< beside its numbers; may be empty
  double height = 0;               ///< pixels
};

struct LoadPicture {
  std::string title;
  drawing::DayRange days;
  double day_width = 1;  ///< pixels
  std::vector<Lane> lanes;
};

LoadPicture load_picture(const plan::Plan& plan, const report::ShownLoad& shown);
/// The same over days and in a width of days that are given; all days of the load are among them.
LoadPicture load_picture(const plan::Plan& plan, const report::ShownLoad& shown,
                         const drawing::DayRange& days, double day_width);

/// What stands to the left of the first day: names and scales.
inline constexpr double lanes_indent = 224;
std::vector<drawing::LegendEntry> load_legend();
double lanes_height(const LoadPicture& picture);
/// Draws the lanes below each other from `top` on, their first day at `left`.
void draw_lanes(drawing::Svg& svg, const LoadPicture& picture, double left, double top);

void write_load_svg(std::ostream& out, const LoadPicture& picture);

}  // namespace budwood::pictures
