#include "network/propagation.hpp"

#include <algorithm>
#include <bit>

namespace budwood::network {

Propagation::Outcome Propagation::run(const Network& network, Side side) {
  rules_ = Tightening(network, side);
  height_.assign(network.point_count(), open_height);
  last_push_.assign(network.point_count(), none);
  log_.clear();
  work_.prepare(network, side);
  failure_ = Failure::none;

  if (!start_from_bounds() || !start_from_sets()) return Outcome::contradiction;
  if (std::none_of(height_.begin(), height_.end(), is_open)) return Outcome::plan;
  return start_from_nothing() ? Outcome::unbounded : Outcome::contradiction;
}

PointId Propagation::unbounded_point() const {
  const auto found = std::find_if(height_.begin(), height_.end(), is_open);
  return static_cast<PointId>(found - height_.begin());
}

bool Propagation::start_from_bounds() {
  for (PointId point = 0; point < height_.size(); ++point) {
    const auto bound = rules_.near_bound(point);
    if (!bound) continue;
    Push root;
    root.point = point;
    root.wanted = *bound;
    root.cause = rules_.near_fact();
    if (!push(root)) return false;
  }
  return propagate();
}

/// A set of days and the known part of a length end somewhere, which bounds what is still open.
bool Propagation::start_from_sets() {
  const Network& network = rules_.network();
  for (PointId point = 0; point < height_.size(); ++point) {
    if (!is_open(height_[point]) || !network.point(point).allowed) continue;
    Push root;
    root.point = point;
    root.wanted = open_height - 1;
    root.cause = Fact::Kind::allowed;
    if (!push(root) || !propagate()) return false;
  }
  for (LinkId id = 0; id < network.link_count(); ++id) {
    const Network::Link& link = network.link(id);
    if (!link.length || !is_open(height_[link.to]) || !rules_.binds(link, false)) continue;
    if (!push_by_length(id, false) || !propagate()) return false;
  }
  return true;
}

/// What nothing bounds can still contradict itself: the links between open points may hold a
/// negative cycle.
bool Propagation::start_from_nothing() {
  for (PointId point = 0; point < height_.size(); ++point) {
    if (!is_open(height_[point])) continue;
    Push root;
    root.height = root.wanted = open_height;
    root.point = point;
    append(root, Failure::none);
  }
  return propagate();
}

bool Propagation::propagate() {
  while (!work_.empty()) {
    const PointId point = work_.take();
    for (const LinkId link : rules_.network().links_at(point)) {
      if (!follow(point, link)) return false;
    }
  }
  return true;
}

/// Pushes the other end of a link, now that the date `at` has moved.
bool Propagation::follow(PointId at, LinkId id) {
  const Network::Link& link = rules_.network().link(id);
  if (at == link.from && !(link.length ? push_by_length(id, true) : push_by(id, true))) {
    return false;
  }
  return at != link.to || (link.length ? push_by_length(id, false) : push_by(id, false));
}

bool Propagation::push_by(LinkId id, bool forward) {
  const Network::Link& link = rules_.network().link(id);
  const auto step = rules_.step(link, forward);
  if (!step) return true;
  const PointId from = forward ? link.from : link.to;
  const PointId to = forward ? link.to : link.from;
  if (height_[from] + *step >= height_[to]) return true;
  Push next;
  next.wanted = height_[from] + *step;
  next.travelled = *step;
  next.point = to;
  next.id = id;
  next.parent = last_push_[from];
  next.cause = rules_.step_fact(forward);
  return push(next);
}

bool Propagation::push_by_length(LinkId id, bool forward) {
  const Network::Link& link = rules_.network().link(id);
  if (!rules_.binds(link, forward)) return true;
  const PointId from = forward ? link.from : link.to;
  const Reach reach = forward ? rules_.end_of(*link.length, height_[from])
                              : rules_.start_of(*link.length, height_[from]);
  if (reach.kind == Reach::Kind::open) return true;
  Push next;
  next.wanted = reach.height;
  next.point = forward ? link.to : link.from;
  next.id = id;
  next.parent = last_push_[from];
  next.lengths = 1;
  next.cause = Fact::Kind::length;
  if (reach.kind == Reach::Kind::impossible) return append(next, Failure::no_length);
  return push(next);
}

/// Lowers a date to what is wanted, if that is new. False when it contradicts something.
bool Propagation::push(Push push) {
  if (push.wanted >= height_[push.point]) return true;
  const Reach settled = rules_.settle(push.point, push.wanted);
  if (settled.kind == Reach::Kind::impossible) return append(push, Failure::no_day);
  push.height = settled.height;
  const auto bound = rules_.far_bound(push.point);
  return append(push, bound && push.height < *bound ? Failure::far_bound : Failure::none);
}

/// Logs a push as the end of its chain. The marker stays at the push whose depth is the last power
/// of two, as in Brent's cycle finding (1980): a chain that circles meets the marker's point again.
bool Propagation::append(Push& push, Failure failure) {
  const auto id = static_cast<PushId>(log_.size());
  push.marker = id;
  if (push.parent != none) {
    const Push& parent = log_[push.parent];
    push.travelled += parent.travelled;
    push.lengths += parent.lengths;
    push.depth = parent.depth + 1;
    if (!std::has_single_bit(push.depth)) push.marker = parent.marker;
  }
  log_.push_back(push);
  failure_ = failure == Failure::none && closes_cycle(id) ? Failure::cycle : failure;
  if (failure_ != Failure::none) return false;
  height_[push.point] = push.height;
  last_push_[push.point] = id;
  work_.add(push.point);
  return true;
}

/// Whether the chain that ends in this push holds a negative cycle of links: a lap that comes back
/// to a point lower by its links alone, whatever days are allowed on the way.
bool Propagation::closes_cycle(PushId id) {
  const Push& push = log_[id];
  if (log_[push.marker].point == push.point && lap_falls(id, push.marker)) return true;
  // A chain longer than there are points has circled, perhaps never through its marker.
  return push.depth % (height_.size() + 1) == 0 && circles(id);
}

bool Propagation::lap_falls(PushId later, PushId earlier) const {
  return log_[later].lengths == log_[earlier].lengths &&
         log_[later].travelled < log_[earlier].travelled;
}

/// Looks for a falling lap in the last pushes of a chain, one more than there are points, and
/// leaves it at the end of the log with the marker at its start.
bool Propagation::circles(PushId id) {
  seen_.assign(height_.size(), none);
  std::size_t steps = height_.size() + 1;
  for (PushId at = id; at != none && steps > 0; at = log_[at].parent, --steps) {
    PushId& later = seen_[log_[at].point];
    if (later != none && lap_falls(later, at)) {
      Push end = log_[later];
      end.marker = at;
      log_.push_back(end);
      return true;
    }
    later = at;
  }
  return false;
}

/// The set of the point of a push, with the day that was wanted, cut off at the calendar.
Fact Propagation::allowed_fact(const Push& push) const {
  const Day day = std::clamp(rules_.to_day(push.wanted), calendar::first_day, calendar::last_day);
  return {Fact::Kind::allowed, push.point, day};
}

std::vector<Fact> Propagation::failing_facts() const {
  std::vector<Fact> facts;
  // Read backwards: within a push, first where it settled, then what caused it.
  const Push& end = log_.back();
  if (failure_ == Failure::far_bound) facts.push_back({rules_.far_fact(), end.point, 0});
  if (failure_ == Failure::no_day) facts.push_back(allowed_fact(end));
  const PushId stop = failure_ == Failure::cycle ? end.marker : none;
  for (const Push* push = &end;; push = &log_[push->parent]) {
    const bool by_point =
        push->cause == Fact::Kind::not_before || push->cause == Fact::Kind::not_after;
    // The links of a falling lap contradict each other whatever days are allowed.
    const bool no_day = failure_ == Failure::no_day && push == &end;
    const bool moved = push->height != push->wanted && failure_ != Failure::cycle && !no_day;
    if (moved || push->cause == Fact::Kind::allowed) facts.push_back(allowed_fact(*push));
    if (push->cause != Fact::Kind::allowed) {
      facts.push_back({push->cause, by_point ? push->point : push->id, 0});
    }
    if (push->parent == stop || push->parent == none) break;
  }
  std::reverse(facts.begin(), facts.end());

  // Each fact once, where it pushes first.
  auto kept = facts.begin();
  for (const Fact& fact : facts) {
    const auto same = [&](const Fact& other) {
      return other.kind == fact.kind && other.id == fact.id;
    };
    if (std::none_of(facts.begin(), kept, same)) *kept++ = fact;
  }
  facts.erase(kept, facts.end());
  return facts;
}

}  // namespace budwood::network
