#include <algorithm>
#include <ostream>

#include "pictures/frame.hpp"
#include "pictures/load/load_picture.hpp"
#include "pictures/pictures.hpp"
#include "pictures/room_fills.hpp"
#include "pictures/season_rows.hpp"
#include "plan/rooms/load.hpp"
#include "report/formats/wording.hpp"
#include "report/load/load_view.hpp"

namespace budwood::pictures {

namespace {

using drawing::DayRange;
using drawing::Pen;
using drawing::Rect;
using drawing::Svg;
using drawing::TextStyle;

constexpr double season_usual_width = 1080;  ///< of all days
constexpr double season_narrowest_day = 2;
constexpr double season_widest_day = 14;
constexpr double season_narrowest = 640;
constexpr double lane_height = 14;
constexpr double words_height = 25;  ///< of the two lines beside a row
constexpr double season_row_gap = 5;
constexpr double block_gap = 10;

const TextStyle season_name_text{10, true};
const TextStyle facts_text{8.5};
const TextStyle season_bar_text{8.5, false, TextStyle::Anchor::middle};
const TextStyle heading_text{12, true};

const Pen season_faint{0.6, Pen::Dash::dots};
const Pen season_wait_pen{0.8, Pen::Dash::short_dashes, Pen::Fill::white};

class SeasonDrawing {
 public:
  SeasonDrawing(std::ostream& out, const plan::Plan& plan, const report::Filter& filter,
                std::vector<SeasonRow> rows, std::optional<calendar::Day> today, bool with_load)
      : plan_(plan),
        rows_(std::move(rows)),
        fills_(plan),
        load_(plan::load_of(plan)),
        shown_(report::shown_load(plan, load_, filter)),
        axis_(days(filter), margin + lanes_indent, day_width(days(filter))),
        lanes_(with_load ? load_picture(plan, shown_, axis_.days(), axis_.day_width())
                         : LoadPicture{}),
        width_(std::max(season_narrowest, axis_.right() + margin)),
        head_(title(), lines(filter, today), width_),
        legend_(legend_entries(), width_ - 2 * margin),
        lanes_legend_(load_legend(), width_ - 2 * margin) {
    std::vector<DayLine> marked;
    add_today(marked, today);
    const DayLines day_lines(axis_, std::move(marked));
    const double axis_top =
        head_.height() + legend_.height() + (day_lines.empty() ? 0 : DayLines::row_height);
    rows_top_ = axis_top + drawing::DateAxis::height;
    rows_bottom_ = rows_top_ + season_row_gap;
    for (const SeasonRow& row : rows_) rows_bottom_ += height_of(row);
    const double bottom = rows_bottom_ + lanes_space();
    Svg svg(out, width_, bottom + margin, title(),
            with_load ? "One row for each batch with its stages along the days; below them rooms "
                        "and crews against what they hold."
                      : "One row for each batch with its stages along the days.");
    head_.draw(svg);
    legend_.draw(svg, {margin, head_.height()});
    axis_.draw_labels(svg, axis_top);
    axis_.draw_lines(svg, rows_top_, rows_bottom_);
    draw_rows(svg);
    if (!lanes_.lanes.empty()) draw_load(svg);
    day_lines.draw(svg, axis_top - DayLines::row_height, bottom);
  }

 private:
  std::string title() const { return "Season of " + plan_.book->site.name.value; }

  std::vector<std::string> lines(const report::Filter& filter,
                                 std::optional<calendar::Day> today) const {
    std::string what = std::to_string(rows_.size()) + (rows_.size() == 1 ? " batch" : " batches");
    if (filter.room) what += " in room " + *filter.room;
    if (filter.crew) what += " with work of crew " + *filter.crew;
    what += ", " + calendar::short_date(axis_.days().first) + " to " +
            calendar::short_date(axis_.days().last);
    const std::vector<std::string> missing = without_dates(plan_, filter);
    return {what, missing.empty() ? "" : "Without dates: " + report::joined(missing, ", "),
            outside_words(today, axis_.days())};
  }

  /// Of all that is drawn, within those that are asked for.
  DayRange days(const report::Filter& filter) const {
    DayRange out = shown_.days();
    for (const SeasonRow& row : rows_) {
      for (const SeasonBar& bar : row.bars) {
        DayRange days{bar.dates.start,
                      std::max(bar.dates.last(), bar.dates.end + bar.dates.waits - 1)};
        if (filter.from) days.first = std::max(days.first, *filter.from);
        if (filter.to) days.last = std::min(days.last, *filter.to);
        if (days.empty()) continue;
        out = out.empty()
                  ? days
                  : DayRange{std::min(out.first, days.first), std::max(out.last, days.last)};
      }
    }
    return out;
  }
  static double day_width(const DayRange& days) {
    return std::clamp(season_usual_width / static_cast<double>(days.size()), season_narrowest_day,
                      season_widest_day);
  }

  std::vector<drawing::LegendEntry> legend_entries() const {
    std::set<std::string> rooms;
    bool waits = false;
    for (const SeasonRow& row : rows_) {
      for (const SeasonBar& bar : row.bars) {
        rooms.insert(bar.room);
        waits = waits || bar.dates.waits > 0;
      }
    }
    std::vector<drawing::LegendEntry> out = fills_.legend(rooms);
    if (waits) out.push_back({season_wait_pen, drawing::LegendEntry::Sample::area, "plants wait"});
    return out;
  }

  static double height_of(const SeasonRow& row) {
    return std::max(words_height, lane_height * static_cast<double>(row.lanes)) + season_row_gap;
  }
  double lanes_space() const {
    if (lanes_.lanes.empty()) return 0;
    return 2 * block_gap + 20 + lanes_legend_.height() + drawing::DateAxis::height +
           lanes_height(lanes_);
  }

  void draw_rows(Svg& svg) const {
    double y = rows_top_ + season_row_gap;
    constexpr double room = lanes_indent - 10;
    for (const SeasonRow& row : rows_) {
      svg.begin_group(row.name + ": " + row.facts);
      svg.text({margin, y + 10}, cut(row.name, room, season_name_text), season_name_text);
      svg.text({margin, y + 21}, cut(row.facts, room, facts_text), facts_text);
      svg.end_group();
      for (const SeasonBar& bar : row.bars) draw_wait(svg, bar, y);
      for (const SeasonBar& bar : row.bars) draw_bar(svg, bar, y);
      y += height_of(row);
      svg.lines({{margin, y - season_row_gap / 2}, {axis_.right(), y - season_row_gap / 2}},
                season_faint);
    }
  }

  /// What of it lies within the days of the picture.
  Rect within(Rect place) const {
    const double right = std::min(place.right(), axis_.right());
    place.x = std::max(place.x, axis_.left());
    place.width = std::max(0.0, right - place.x);
    return place;
  }

  void draw_wait(Svg& svg, const SeasonBar& bar, double top) const {
    if (bar.dates.waits == 0) return;
    const double from = axis_.x_of(bar.dates.end);
    const double to = axis_.x_of(bar.dates.end + bar.dates.waits);
    const Rect place = within(
        {from, top + lane_height * static_cast<double>(bar.lane) + 3, to - from, lane_height - 7});
    if (place.width > 0) svg.rect(place, season_wait_pen);
  }

  void draw_bar(Svg& svg, const SeasonBar& bar, double top) const {
    Rect place = across(axis_, bar.dates);
    place.y = top + lane_height * static_cast<double>(bar.lane);
    place.height = lane_height - 1;
    place = within(place);
    if (place.width <= 0) return;
    const Pen pen = fills_.pen(bar.room);
    svg.begin_group(bar.title);
    svg.rect(place, pen);
    for (const std::string& name : bar.names) {
      const double need = drawing::text_width(name, season_bar_text) + 6;
      if (need > place.width) continue;
      const double x = place.x + place.width / 2;
      if (pen.fill != Pen::Fill::white)
        svg.ground({x - need / 2, place.y + 1.5, need, place.height - 3});
      svg.text({x, place.y + 9.5}, name, season_bar_text);
      break;
    }
    svg.end_group();
  }

  void draw_load(Svg& svg) const {
    double y = rows_bottom_ + block_gap;
    svg.text({margin, y + 14}, "Rooms and crews", heading_text);
    y += 20 + block_gap;
    lanes_legend_.draw(svg, {margin, y});
    y += lanes_legend_.height();
    axis_.draw_labels(svg, y);
    y += drawing::DateAxis::height;
    axis_.draw_lines(svg, y, y + lanes_height(lanes_));
    draw_lanes(svg, lanes_, axis_.left(), y);
  }

  const plan::Plan& plan_;
  std::vector<SeasonRow> rows_;
  RoomFills fills_;
  plan::Load load_;
  report::ShownLoad shown_;
  drawing::DateAxis axis_;
  LoadPicture lanes_;
  double width_;
  Head head_;
  drawing::Legend legend_, lanes_legend_;
  double rows_top_ = 0, rows_bottom_ = 0;
};

}  // namespace

bool write_season(std::ostream& out, const plan::Plan& plan, const report::Filter& filter,
                  std::optional<calendar::Day> today) {
  std::vector<SeasonRow> rows = season_rows(plan, filter);
  if (rows.empty()) {
    write_empty(out, "Season of " + plan.book->site.name.value,
                report::nothing_found(filter, "batches with dates"));
    return false;
  }
  SeasonDrawing(out, plan, filter, std::move(rows), today, true);
  return true;
}

std::size_t season_row_count(const plan::Plan& plan, const report::Filter& filter) {
  return season_rows(plan, filter).size();
}

void write_season_rows(std::ostream& out, const plan::Plan& plan, const report::Filter& filter,
                       std::optional<calendar::Day> today, std::size_t first, std::size_t most) {
  std::vector<SeasonRow> rows = season_rows(plan, filter);
  const auto begin = rows.begin() + static_cast<std::ptrdiff_t>(std::min(first, rows.size()));
  const auto left = static_cast<std::size_t>(rows.end() - begin);
  const auto end = begin + static_cast<std::ptrdiff_t>(std::min(most, left));
  SeasonDrawing(out, plan, filter, {begin, end}, today, false);
}

}  // namespace budwood::pictures
