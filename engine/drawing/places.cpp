#include "drawing/places.hpp"

#include <algorithm>
#include <numeric>

namespace budwood::drawing {

bool Places::take(const Rect& place) {
  const bool free = std::none_of(taken_.begin(), taken_.end(), [&](const Rect& other) {
    return place.x < other.right() && other.x < place.right() && place.y < other.bottom() &&
           other.y < place.bottom();
  });
  if (free) taken_.push_back(place);
  return free;
}

Rect place_of(const Point& at, std::string_view text, const TextStyle& style) {
  const double width = text_width(text, style);
  const double left = style.anchor == TextStyle::Anchor::start    ? at.x
                      : style.anchor == TextStyle::Anchor::middle ? at.x - width / 2
                                                                  : at.x - width;
  // Most letters stand on the line; some hang a little below it.
  constexpr double above = 0.95;
  constexpr double below = 0.25;
  return {left, at.y - above * style.size, width, (above + below) * style.size};
}

std::vector<double> spread(const std::vector<double>& wanted, double apart, double top,
                           double bottom) {
  std::vector<std::size_t> order(wanted.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
  std::vector<double> out = wanted;
  double least = top;
  for (const std::size_t i : order) {
    out[i] = std::max(out[i], least);
    least = out[i] + apart;
  }
  double most = std::max(bottom, top + apart * (static_cast<double>(wanted.size()) - 1));
  for (auto i = order.rbegin(); i != order.rend(); ++i) {
    out[*i] = std::min(out[*i], most);
    most = out[*i] - apart;
  }
  return out;
}

}  // namespace budwood::drawing
