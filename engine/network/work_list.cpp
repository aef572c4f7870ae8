#include "network/work_list.hpp"

#include <bit>

namespace budwood::network {
namespace {

constexpr std::uint32_t unordered = UINT32_MAX;

/// Whether `to` can never come before `from`.
bool goes_forward(const Network::Link& link) {
  return link.from != link.to && (link.length || (link.low && *link.low >= 0));
}

}  // namespace

void WorkList::prepare(const Network& network, Side side) {
  order_points(network);
  marked_.assign((network.point_count() + 63) / 64, 0);
  count_ = 0;
  upward_ = side == Side::earliest;
  position_ = upward_ || order_.empty() ? 0 : order_.size() - 1;
}

/// Kahn's topological order; points on cycles follow in the order of their numbers.
void WorkList::order_points(const Network& network) {
  const auto points = static_cast<PointId>(network.point_count());
  waiting_.assign(points, 0);
  for (LinkId id = 0; id < network.link_count(); ++id) {
    if (goes_forward(network.link(id))) ++waiting_[network.link(id).to];
  }
  order_.clear();
  rank_.assign(points, unordered);
  const auto place = [&](PointId point) {
    rank_[point] = static_cast<std::uint32_t>(order_.size());
    order_.push_back(point);
  };
  for (PointId point = 0; point < points; ++point) {
    if (waiting_[point] == 0) place(point);
  }
  for (std::size_t next = 0; next < order_.size(); ++next) {
    for (const LinkId id : network.links_at(order_[next])) {
      const Network::Link& link = network.link(id);
      if (link.from != order_[next] || !goes_forward(link)) continue;
      if (--waiting_[link.to] == 0) place(link.to);
    }
  }
  for (PointId point = 0; point < points; ++point) {
    if (rank_[point] == unordered) place(point);
  }
}

void WorkList::add(PointId point) {
  const std::uint32_t rank = rank_[point];
  std::uint64_t& word = marked_[rank / 64];
  const std::uint64_t bit = std::uint64_t{1} << (rank % 64);
  if (!(word & bit)) ++count_;
  word |= bit;
}

PointId WorkList::take() {
  // The part of the current word that lies ahead, then whole words; at the end, turn round.
  for (;; upward_ = !upward_) {
    const unsigned offset = position_ % 64;
    const std::uint64_t ahead =
        upward_ ? ~std::uint64_t{0} << offset : ~std::uint64_t{0} >> (63 - offset);
    std::uint64_t mask = ahead;
    for (std::size_t word = position_ / 64; word < marked_.size(); upward_ ? ++word : --word) {
      const std::uint64_t found = marked_[word] & mask;
      mask = ~std::uint64_t{0};
      if (!found) continue;
      const auto bit =
          static_cast<unsigned>(upward_ ? std::countr_zero(found) : 63 - std::countl_zero(found));
      marked_[word] &= ~(std::uint64_t{1} << bit);
      --count_;
      position_ = word * 64 + bit;
      return order_[position_];
    }
  }
}

}  // namespace budwood::network
