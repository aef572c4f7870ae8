#include "network/binding.hpp"

#include <algorithm>
#include <deque>

namespace budwood::network {

namespace {

/// Brings every date down from the calendar's end as far as it must go, and keeps for each push the
/// one that it came from. Slower than the solver, which keeps nothing.
class Pushes {
 public:
  explicit Pushes(const Network& network) : network_(network), last_(network.point_count(), none) {
    for (PointId point = 0; point < network.point_count(); ++point) {
      const Network::Point& own = network.point(point);
      if (own.not_after) push(point, {Fact::Kind::not_after, point, 0}, *own.not_after, none);
      if (own.allowed != nullptr) {
        push(point, {Fact::Kind::allowed, point, calendar::last_day}, calendar::last_day, none);
      }
    }
    // A length that is known for some starts only bounds them by itself.
    for (LinkId id = 0; id < network.link_count(); ++id) {
      const Network::Link& link = network.link(id);
      if (link.length == nullptr || link.limit) continue;
      if (const auto start = link.length->latest_start(calendar::last_day)) {
        push(link.from, {Fact::Kind::length, id, 0}, *start, none);
      }
    }
    while (sound_ && !open_.empty()) {
      const PointId next = open_.front();
      open_.pop_front();
      const std::size_t from = last_[next];
      for (const LinkId link : network.links_at(next)) spread(link, next, from);
    }
  }

  std::vector<Binding> chain(PointId point) const {
    std::vector<Binding> out;
    if (!sound_) return out;
    for (std::size_t i = last_[point]; i != none; i = pushes_[i].from) {
      out.push_back(pushes_[i].binding);
    }
    return out;
  }

 private:
  static constexpr std::size_t none = static_cast<std::size_t>(-1);
  struct Push {
    Binding binding;
    std::size_t from = none;
  };

  /// The bound on the other end of a link that the date at this end gives.
  void spread(LinkId id, PointId known, std::size_t from) {
    const Network::Link& link = network_.link(id);
    const Day day = pushes_[from].binding.day;
    if (link.length != nullptr) {
      if (known == link.from) {
        if (const auto end = link.length->end_of(day)) {
          push(link.to, {Fact::Kind::length, id, 0}, *end, from);
        }
      } else if (!link.limit) {
        if (const auto start = link.length->latest_start(day)) {
          push(link.from, {Fact::Kind::length, id, 0}, *start, from);
        }
      }
      return;
    }
    if (known == link.to && link.low) {
      push(link.from, {Fact::Kind::link_low, id, 0}, day - *link.low, from);
    }
    if (known == link.from && link.high) {
      push(link.to, {Fact::Kind::link_high, id, 0}, day + *link.high, from);
    }
  }

  void push(PointId point, const Fact& fact, Day bound, std::size_t from) {
    if (last_[point] != none && pushes_[last_[point]].binding.day <= bound) return;
    const calendar::DaySet* allowed = network_.point(point).allowed;
    const std::optional<Day> day = allowed == nullptr ? bound : allowed->previous(bound);
    // Without a plan dates would fall for ever.
    if (!day || *day < calendar::first_day) {
      sound_ = false;
      return;
    }
    last_[point] = pushes_.size();
    pushes_.push_back({{point, *day, fact, bound}, from});
    if (std::find(open_.begin(), open_.end(), point) == open_.end()) open_.push_back(point);
  }

  const Network& network_;
  std::vector<std::size_t> last_;  ///< by point: its last push
  std::vector<Push> pushes_;
  std::deque<PointId> open_;
  bool sound_ = true;
};

}  // namespace

std::vector<Binding> bindings(const Network& network, PointId point) {
  return Pushes(network).chain(point);
}

}  // namespace budwood::network
