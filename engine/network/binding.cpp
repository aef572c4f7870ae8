#include "network/binding.hpp"

#include <algorithm>
#include <deque>

#include "network/tightening.hpp"

namespace budwood::network {

namespace {

/// Brings every date from one end of the calendar as far as it must go, and keeps for each push the
/// one that it came from. Slower than the solver, which keeps nothing.
class Pushes {
 public:
  Pushes(const Network& network, Side side)
      : network_(network), rules_(network, side), last_(network.point_count(), none) {
    const Day end = side == Side::latest ? calendar::last_day : calendar::first_day;
    for (PointId point = 0; point < network.point_count(); ++point) {
      if (const auto bound = rules_.near_bound(point)) {
        push(point, {rules_.near_fact(), point, 0}, *bound, none);
      }
      if (network.point(point).allowed != nullptr) {
        push(point, {Fact::Kind::allowed, point, end}, rules_.to_height(end), none);
      }
    }
    // A length that is known for some starts only bounds them by itself.
    for (LinkId id = 0; id < network.link_count(); ++id) {
      const Network::Link& link = network.link(id);
      if (link.length == nullptr || link.limit) continue;
      follow(link.from, id, rules_.start_of(*link.length, open_height), none);
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
    const bool forward = known == link.from;
    const PointId other = forward ? link.to : link.from;
    const Height at = rules_.to_height(pushes_[from].binding.day);
    if (link.length != nullptr) {
      if (!rules_.binds(link, forward)) return;
      follow(other, id,
             forward ? rules_.end_of(*link.length, at) : rules_.start_of(*link.length, at), from);
    } else if (const auto step = rules_.step(link, forward)) {
      push(other, {rules_.step_fact(forward), id, 0}, at + *step, from);
    }
  }

  void follow(PointId point, LinkId id, const Reach& reach, std::size_t from) {
    if (reach.kind != Reach::Kind::height) return;
    push(point, {Fact::Kind::length, id, 0}, reach.height, from);
  }

  void push(PointId point, const Fact& fact, Height bound, std::size_t from) {
    if (last_[point] != none && rules_.to_height(pushes_[last_[point]].binding.day) <= bound) {
      return;
    }
    const Reach reach = rules_.settle(point, bound);
    const Day day = rules_.to_day(reach.height);
    // Without a plan dates would go on for ever.
    if (reach.kind != Reach::Kind::height || day < calendar::first_day ||
        day > calendar::last_day) {
      sound_ = false;
      return;
    }
    last_[point] = pushes_.size();
    pushes_.push_back({{point, day, fact, rules_.to_day(bound)}, from});
    if (std::find(open_.begin(), open_.end(), point) == open_.end()) open_.push_back(point);
  }

  const Network& network_;
  Tightening rules_;
  std::vector<std::size_t> last_;  ///< by point: its last push
  std::vector<Push> pushes_;
  std::deque<PointId> open_;
  bool sound_ = true;
};

}  // namespace

std::vector<Binding> bindings(const Network& network, PointId point) {
  return Pushes(network, Side::latest).chain(point);
}

std::vector<Binding> earliest_bindings(const Network& network, PointId point) {
  return Pushes(network, Side::earliest).chain(point);
}

}  // namespace budwood::network
