#include <algorithm>
#include <cmath>

#include "pictures/load/load_picture.hpp"

namespace budwood::pictures {

namespace {

using drawing::Pen;
using drawing::Point;
using drawing::Rect;
using drawing::Svg;
using drawing::text_width;
using drawing::TextStyle;
using drawing::wrap_text;

constexpr double scale_width = 40;  ///< of the numbers beside a lane
constexpr double lane_gap = 20;
constexpr double lane_line_height = 14;

const TextStyle lane_text{11, true};
const TextStyle lane_plain_text{10};
const TextStyle scale_text{8, false, TextStyle::Anchor::end};

const Pen thin_white{0.8, Pen::Dash::none, Pen::Fill::white};
const Pen thin_dots{0.8, Pen::Dash::none, Pen::Fill::dots};
const Pen lane_pen{0.8};
const Pen faint{0.6, Pen::Dash::dots};
const Pen limit_pen{2.5};
const Pen over_pen{1.6, Pen::Dash::none, Pen::Fill::grille};

/// A place for the name of a band: some of its days, between two levels.
struct NamePlace {
  std::size_t first = 0, size = 0;
  double low = 0, high = 0;
};

class LanesDrawing {
 public:
  LanesDrawing(Svg& svg, const LoadPicture& picture, double left)
      : picture_(picture), svg_(svg), left_(left) {}

  void draw(double top) {
    double at = top + lane_gap / 2;
    for (const Lane& lane : picture_.lanes) {
      draw_lane(lane, at);
      at += room_of(lane) + lane_gap;
    }
  }

  static double height(const LoadPicture& picture) {
    double sum = 0;
    for (const Lane& lane : picture.lanes) sum += room_of(lane) + lane_gap;
    return sum;
  }

 private:
  double plot_width() const {
    return picture_.day_width * static_cast<double>(picture_.days.size());
  }
  /// A lane is at least as high as its text.
  static double room_of(const Lane& lane) {
    return std::max(lane.height,
                    lane_line_height * (1.0 + static_cast<double>(lane.lines.size())) + 4);
  }
  double x_of(std::size_t day) const {
    return left_ + picture_.day_width * static_cast<double>(day);
  }
  static double y_of(const Lane& lane, double floor, double level) {
    return floor - lane.height * level / lane.top;
  }

  void draw_lane(const Lane& lane, double top) {
    const double floor = top + lane.height;
    draw_words(lane, top);
    draw_scale(lane, floor);
    if (lane.bars) {
      draw_bars(lane, floor);
    } else if (lane.too_many) {
      draw_total(lane, floor);
    } else {
      for (const Band& band : lane.bands) draw_band(lane, band, floor);
    }
    draw_excess(lane, floor);
    svg_.lines({{left_, floor}, {left_ + plot_width(), floor}}, Pen{1});
    draw_limit(lane, floor);
    beside_.clear();
    for (const Band& band : lane.bands) draw_name(lane, band, floor);
  }

  void draw_words(const Lane& lane, double top) {
    const auto line = [&](std::string_view text, double y, const TextStyle& style) {
      const auto lines = wrap_text(text, lanes_indent - scale_width - 8, 1, style);
      svg_.text({left_ - lanes_indent, y}, lines.front(), style);
    };
    double y = top + lane_text.size;
    line(lane.title, y, lane_text);
    for (const std::string& text : lane.lines) line(text, y += lane_line_height, lane_plain_text);
    if (lane.too_many) line("(too many to draw each)", y + lane_line_height, lane_plain_text);
  }

  /// A round number beside the lane, not above two thirds of it.
  void draw_scale(const Lane& lane, double floor) {
    const double top = lane.top / lane.unit;
    double step = std::pow(10, std::floor(std::log10(top)));
    for (const double factor : {5.0, 2.0}) {
      if (factor * step <= top / 1.5) {
        step *= factor;
        break;
      }
    }
    const double y = y_of(lane, floor, step * lane.unit);
    svg_.lines({{left_ - 4, y}, {left_, y}}, lane_pen);
    svg_.lines({{left_, floor - lane.height}, {left_, floor}}, lane_pen);
    const std::string text = units::format_number(step) + lane.unit_name;
    svg_.text({left_ - 6, y + 3}, wrap_text(text, scale_width - 8, 1, scale_text).front(),
              scale_text);
    svg_.text({left_ - 6, floor}, "0", scale_text);
  }

  /// Up along one level and back along the other, a step a day.
  std::vector<Point> steps(const Lane& lane, double floor, std::size_t first, const Levels& low,
                           const Levels& high, std::size_t begin, std::size_t end) const {
    std::vector<Point> points;
    const auto add = [&](double x, double level) {
      const Point point{x, y_of(lane, floor, level)};
      // Of several points on one level line the ends are enough.
      const std::size_t n = points.size();
      if (n > 1 && points[n - 1].y == point.y && points[n - 2].y == point.y) points.pop_back();
      points.push_back(point);
    };
    for (std::size_t i = begin; i < end; ++i) {
      add(x_of(first + i), high[i]);
      add(x_of(first + i + 1), high[i]);
    }
    for (std::size_t i = end; i-- > begin;) {
      add(x_of(first + i + 1), low[i]);
      add(x_of(first + i), low[i]);
    }
    return points;
  }

  void draw_band(const Lane& lane, const Band& band, double floor) {
    const std::size_t standing = band.low.size() - band.cleaned;
    svg_.begin_group(band.title);
    if (standing > 0) {
      svg_.outline(steps(lane, floor, band.first, band.low, band.high, 0, standing), thin_white);
    }
    if (band.cleaned > 0) {
      svg_.outline(steps(lane, floor, band.first, band.low, band.high, standing, band.low.size()),
                   thin_dots);
    }
    svg_.end_group();
  }

  void draw_bars(const Lane& lane, double floor) {
    for (std::size_t i = 0; i < lane.total.size(); ++i) {
      if (lane.total[i] <= 0) continue;
      const double y = y_of(lane, floor, lane.total[i]);
      svg_.rect({x_of(i), y, picture_.day_width, floor - y}, thin_white);
    }
  }

  void draw_total(const Lane& lane, double floor) {
    const Levels nothing(lane.total.size(), 0);
    svg_.outline(steps(lane, floor, 0, nothing, lane.total, 0, lane.total.size()), thin_white);
  }

  /// What is beyond the limit, each run of days for itself.
  void draw_excess(const Lane& lane, double floor) {
    const auto over = [&](std::size_t i) {
      return lane.total[i] > lane.limit[i] + sheet::slack(lane.total[i], lane.limit[i]);
    };
    for (std::size_t i = 0; i < lane.limit.size();) {
      std::size_t end = i;
      while (end < lane.limit.size() && over(end)) ++end;
      if (end > i) svg_.outline(steps(lane, floor, 0, lane.limit, lane.total, i, end), over_pen);
      i = std::max(end, i + 1);
    }
  }

  void draw_limit(const Lane& lane, double floor) {
    std::vector<Point> points;
    for (std::size_t i = 0; i < lane.limit.size(); ++i) {
      const double y = y_of(lane, floor, lane.limit[i]);
      if (!points.empty() && points.back().y == y) {
        points.back().x = x_of(i + 1);
      } else {
        points.push_back({x_of(i), y});
        points.push_back({x_of(i + 1), y});
      }
    }
    if (points.size() > 1) svg_.lines(points, limit_pen);
  }

  /// Of the days on which plants stand the longest stretch that leaves a line of text room.
  NamePlace name_place(const Lane& lane, const Band& band, double line) const {
    const double need = line * lane.top / lane.height;
    const std::size_t standing = band.low.size() - band.cleaned;
    NamePlace best;
    for (std::size_t first = 0; first + best.size < standing; ++first) {
      NamePlace place{band.first + first, 0, band.low[first], band.high[first]};
      for (std::size_t i = first; i < standing; ++i) {
        const double low = std::max(place.low, band.low[i]);
        const double high = std::min(place.high, band.high[i]);
        if (high - low < need) break;
        place.low = low;
        place.high = high;
        ++place.size;
      }
      if (place.size > best.size) best = place;
    }
    return best;
  }

  /// Along the band, up in it where it is narrow, else beside it.
  void draw_name(const Lane& lane, const Band& band, double floor) {
    for (const bool turned : {false, true}) {
      for (const double size : {10.0, 8.0}) {
        const TextStyle style{size, false, TextStyle::Anchor::middle, turned};
        const double text = text_width(band.name, style);
        const NamePlace place = name_place(lane, band, turned ? text + 4 : size + 1);
        const double wide = picture_.day_width * static_cast<double>(place.size);
        if (place.size == 0 || wide < (turned ? size : text + 4)) continue;
        const double x = x_of(place.first) + wide / 2;
        const double y = y_of(lane, floor, (place.low + place.high) / 2);
        const double half = turned ? size / 2 : text / 2 + 2;
        const double rise = turned ? text / 2 + 2 : size / 2;
        if (meets_lines(lane, place)) svg_.ground({x - half, y - rise, 2 * half, 2 * rise});
        const double sink = 0.36 * size;
        svg_.text(turned ? Point{x + sink, y} : Point{x, y + sink}, band.name, style);
        return;
      }
    }
    draw_name_beside(lane, band, floor);
  }

  /// Where nothing else is drawn, behind the last day or before the first.
  void draw_name_beside(const Lane& lane, const Band& band, double floor) {
    const TextStyle style{8};
    const double text = text_width(band.name, style);
    const auto days = static_cast<std::size_t>(std::ceil((text + 6) / picture_.day_width));
    const std::size_t end = band.first + band.low.size();
    const double need = style.size * lane.top / lane.height;
    const auto is_free = [&](std::size_t from, std::size_t to, double middle) {
      for (std::size_t i = from; i < to; ++i) {
        if (lane.total[i] > middle - need) return false;
        if (!lane.limit.empty() && std::abs(lane.limit[i] - middle) < need) return false;
      }
      const Rect spot{x_of(from), middle - need, x_of(to) - x_of(from), 2 * need};
      for (const Rect& other : beside_) {
        if (spot.x < other.right() && other.x < spot.right() && spot.y < other.bottom() &&
            other.y < spot.bottom()) {
          return false;
        }
      }
      beside_.push_back(spot);
      return true;
    };
    const double after = (band.low.back() + band.high.back()) / 2;
    const double before = (band.low.front() + band.high.front()) / 2;
    if (end + days <= lane.total.size() && is_free(end, end + days, after)) {
      svg_.text({x_of(end) + 3, y_of(lane, floor, after) + 3}, band.name, style);
    } else if (band.first >= days && is_free(band.first - days, band.first, before)) {
      svg_.text({x_of(band.first) - text - 3, y_of(lane, floor, before) + 3}, band.name, style);
    }
  }

  /// Whether the limit or what is beyond it runs through a place.
  static bool meets_lines(const Lane& lane, const NamePlace& place) {
    for (std::size_t i = place.first; i < place.first + place.size && i < lane.limit.size(); ++i) {
      if (place.high >= lane.limit[i]) return true;
    }
    return false;
  }

  const LoadPicture& picture_;
  Svg& svg_;
  double left_;
  std::vector<Rect> beside_;  ///< names beside bands of this lane: pixels across, levels upwards
};

}  // namespace

std::vector<drawing::LegendEntry> load_legend() {
  using Sample = drawing::LegendEntry::Sample;
  return {{thin_white, Sample::area, "a batch, as high as the space that it takes"},
          {thin_dots, Sample::area, "space that is cleaned after it"},
          {limit_pen, Sample::line, "what the room holds, and the hours that are there"},
          {over_pen, Sample::area, "more than that"}};
}

double lanes_height(const LoadPicture& picture) {
  return LanesDrawing::height(picture);
}

void draw_lanes(Svg& svg, const LoadPicture& picture, double left, double top) {
  LanesDrawing(svg, picture, left).draw(top);
}

}  // namespace budwood::pictures
