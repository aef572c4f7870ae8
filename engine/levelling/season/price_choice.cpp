#include "levelling/season/price_choice.hpp"

#include <algorithm>

namespace budwood::levelling {

double PriceChoice::choose(const PriceTree& tree, const Costs& costs) {
  sums_.assign(tree.size, 0);
  for (std::size_t i = tree.nodes.size(); i-- > 0;) {
    const PriceNode& node = tree.nodes[i];
    double* row = sums_.data() + node.at;
    costs(node, row);
    for (std::size_t x = 0; x < node.open.size(); ++x) {
      if (node.open[x] == 0) row[x] = impossible;
    }
    if (node.parent < 0) continue;
    const PriceNode& parent = tree.nodes[static_cast<std::size_t>(node.parent)];
    if (node.from.empty()) {
      hang(node, parent);
    } else {
      hang_by_day(node, parent);
    }
  }
  double sum = 0;
  chosen_.assign(tree.nodes.size(), -1);
  for (std::size_t i = 0; i < tree.nodes.size(); ++i) {
    const PriceNode& node = tree.nodes[i];
    if (node.parent >= 0) {
      chosen_[i] = best_below(node, chosen_[static_cast<std::size_t>(node.parent)]);
      continue;
    }
    const double* row = sums_.data() + node.at;
    const double* least = std::min_element(row, row + node.count);
    if (least == row + node.count || *least == impossible) return impossible;
    sum += *least;
    chosen_[i] = static_cast<std::int32_t>(least - row);
  }
  return sum;
}

/// What a node pays by day of its parent, which leaves it as many days wherever it is: the least of
/// twice as many days is the less of two.
void PriceChoice::hang(const PriceNode& node, const PriceNode& parent) {
  double* up = sums_.data() + parent.at;
  const std::int32_t width = node.most - node.least + 1;
  if (width <= 0) {
    std::fill(up, up + parent.count, impossible);
    return;
  }
  // From the first day that the first day of the parent leaves to the last of its last one.
  const auto days = static_cast<std::size_t>(parent.count + width - 1);
  least_.assign(days, impossible);
  const std::int32_t begin = std::max(0, node.least);
  const std::int32_t end = std::min(node.count, node.least + static_cast<std::int32_t>(days));
  const double* own = sums_.data() + node.at;
  if (begin < end) std::copy(own + begin, own + end, least_.data() + (begin - node.least));
  std::size_t reach = 1;
  double* least = least_.data();
  for (; 2 * reach <= static_cast<std::size_t>(width); reach *= 2) {
    for (std::size_t i = 0; i + reach < days; ++i) least[i] = std::min(least[i], least[i + reach]);
  }
  const double* late = least + (static_cast<std::size_t>(width) - reach);
  for (std::int32_t x = 0; x < parent.count; ++x) up[x] += std::min(least[x], late[x]);
}

/// Where the parent leaves more days here and fewer there. Both ends of them never fall, so that a
/// queue of candidates is enough.
void PriceChoice::hang_by_day(const PriceNode& node, const PriceNode& parent) {
  const double* own = sums_.data() + node.at;
  double* up = sums_.data() + parent.at;
  window_.clear();
  std::size_t head = 0;
  std::int32_t next = 0;
  for (std::int32_t x = 0; x < parent.count; ++x) {
    const std::int32_t from = node.from[static_cast<std::size_t>(x)];
    const std::int32_t to = node.to[static_cast<std::size_t>(x)];
    for (; next <= to; ++next) {
      while (window_.size() > head && own[window_.back()] >= own[next]) window_.pop_back();
      window_.push_back(next);
    }
    while (head < window_.size() && window_[head] < from) ++head;
    const bool none = from > to || head == window_.size();
    up[x] += none ? impossible : own[window_[head]];
  }
}

std::int32_t PriceChoice::best_below(const PriceNode& node, std::int32_t up) const {
  std::int32_t from = std::max(0, up + node.least);
  std::int32_t to = std::min(node.count - 1, up + node.most);
  if (!node.from.empty()) {
    from = node.from[static_cast<std::size_t>(up)];
    to = node.to[static_cast<std::size_t>(up)];
  }
  const double* row = sums_.data() + node.at;
  return static_cast<std::int32_t>(std::min_element(row + from, row + to + 1) - row);
}

}  // namespace budwood::levelling
