#include "network/propagation.hpp"

#include <algorithm>
#include <bit>

#include "network/length_search.hpp"

namespace budwood::network {

Propagation::Outcome Propagation::run(const Network& network, Side side) {
  network_ = &network;
  side_ = side;
  prepare();
  if (!start_from_bounds() || !start_from_sets()) return Outcome::contradiction;
  const bool bounded =
      std::none_of(height_.begin(), height_.end(), [](Height h) { return h == open_height; });
  if (bounded) return Outcome::plan;
  return start_from_nothing() ? Outcome::unbounded : Outcome::contradiction;
}

Day Propagation::day(PointId point) const {
  return static_cast<Day>(side_ == Side::latest ? height_[point] : -height_[point]);
}

PointId Propagation::unbounded_point() const {
  PointId point = 0;
  while (!open(point)) ++point;
  return point;
}

void Propagation::prepare() {
  const std::size_t points = network_->point_count();
  height_.assign(points, open_height);
  last_push_.assign(points, none);
  in_queue_.assign(points, 0);
  queue_.resize(points);
  log_.clear();
  head_ = queued_ = 0;
  failure_ = Failure::none;
}

void Propagation::enqueue(PointId point) {
  if (in_queue_[point]) return;
  in_queue_[point] = 1;
  std::size_t tail = head_ + queued_++;
  if (tail >= queue_.size()) tail -= queue_.size();
  queue_[tail] = point;
}

bool Propagation::start_from_bounds() {
  for (PointId point = 0; point < height_.size(); ++point) {
    const auto bound = near_bound(point);
    if (bound && !push(point, to_height(*bound), Cause::bound, 0, none)) return false;
  }
  return propagate();
}

/// A set of days and the known part of a length end somewhere, which bounds what is still open.
bool Propagation::start_from_sets() {
  const Height end = to_height(side_ == Side::latest ? calendar::last_day : calendar::first_day);
  for (PointId point = 0; point < height_.size(); ++point) {
    if (!open(point) || !network_->point(point).allowed) continue;
    if (!push(point, end, Cause::allowed, 0, none) || !propagate()) return false;
  }
  for (LinkId id = 0; id < network_->link_count(); ++id) {
    const auto& link = network_->link(id);
    if (!link.length || !open(link.from)) continue;
    if (!push_start_of(id, none) || !propagate()) return false;
  }
  return true;
}

/// What nothing bounds can still contradict itself: the links between open points may hold a
/// negative cycle.
bool Propagation::start_from_nothing() {
  for (PointId point = 0; point < height_.size(); ++point) {
    if (!open(point)) continue;
    Push root;
    root.height = root.wanted = open_height;
    root.point = point;
    append(root, Failure::none);
  }
  return propagate();
}

bool Propagation::propagate() {
  while (queued_ > 0) {
    const PointId point = queue_[head_];
    if (++head_ == queue_.size()) head_ = 0;
    --queued_;
    in_queue_[point] = 0;
    for (const LinkId link : network_->links_at(point)) {
      if (!follow(point, link)) return false;
    }
  }
  return true;
}

/// Pushes the other end of a link, now that the date `at` has moved.
bool Propagation::follow(PointId at, LinkId id) {
  const Network::Link& link = network_->link(id);
  if (link.length) return follow_length(at, id);
  const bool latest = side_ == Side::latest;
  // latest:   to <= from + high,  from <= to - low;   earliest:  to >= from + low,  from >= to -
  // high
  if (at == link.from) {
    const auto& bound = latest ? link.high : link.low;
    const Height step = bound ? to_height(*bound) : 0;
    const Cause cause = latest ? Cause::link_high : Cause::link_low;
    if (bound && !push(link.to, height_[at] + step, cause, id, last_push_[at], step)) return false;
  }
  if (at == link.to) {
    const auto& bound = latest ? link.low : link.high;
    const Height step = bound ? -to_height(*bound) : 0;
    const Cause cause = latest ? Cause::link_low : Cause::link_high;
    if (bound && !push(link.from, height_[at] + step, cause, id, last_push_[at], step))
      return false;
  }
  return true;
}

bool Propagation::follow_length(PointId at, LinkId id) {
  const Network::Link& link = network_->link(id);
  if (at == link.to && !push_start_of(id, last_push_[at])) return false;
  if (at != link.from) return true;

  const auto end = end_within_calendar(*link.length, day(at));
  if (end) return push(link.to, to_height(*end), Cause::length, id, last_push_[at]);
  // The end is not known. Either the start still has to move to where it is, or it never will be.
  const Height before = height_[at];
  if (!push_start_of(id, last_push_[link.to])) return false;
  if (height_[at] < before) return true;  // comes back through the work list
  Push failing;
  failing.point = link.to;
  failing.link = id;
  failing.parent = last_push_[at];
  failing.cause = Cause::length;
  return append(failing, Failure::length_unknown);
}

/// Pushes the start of a length by its end, which may still be open.
bool Propagation::push_start_of(LinkId id, PushId parent) {
  const Network::Link& link = network_->link(id);
  const bool latest = side_ == Side::latest;
  const Day end = !open(link.to) ? day(link.to) : latest ? calendar::last_day : calendar::first_day;
  const auto start = latest ? last_start(*link.length, end) : first_start(*link.length, end);
  if (start) return push(link.from, to_height(*start), Cause::length, id, parent);
  Push failing;
  failing.point = link.from;
  failing.link = id;
  failing.parent = parent;
  failing.cause = Cause::length;
  return append(failing, Failure::length_unknown);
}

/// Lowers a date if that is new. False when it contradicts something.
bool Propagation::push(PointId point, Height wanted, Cause cause, LinkId link, PushId parent,
                       Height step) {
  if (wanted >= height_[point]) return true;
  Push push;
  push.height = push.wanted = wanted;
  push.travelled = step;
  push.point = point;
  push.link = link;
  push.parent = parent;
  push.cause = cause;
  const auto settled = settle(point, wanted);
  if (!settled) return append(push, Failure::no_day);
  push.height = *settled;
  const auto bound = far_bound(point);
  return append(push,
                bound && push.height < to_height(*bound) ? Failure::far_bound : Failure::none);
}

bool Propagation::append(const Push& push, Failure failure) {
  const auto id = static_cast<PushId>(log_.size());
  log_.push_back(push);
  chain(log_.back());
  if (log_[id].marker == none) log_[id].marker = id;
  failure_ = failure;
  if (failure_ == Failure::none && closes_cycle(id)) failure_ = Failure::cycle;
  if (failure_ != Failure::none) return false;
  height_[push.point] = push.height;
  last_push_[push.point] = id;
  enqueue(push.point);
  return true;
}

/// Continues the sums of the chain. The marker stays at the push whose depth is the last power of
/// two, as in Brent's cycle finding (1980): a chain that circles meets the marker's point again.
void Propagation::chain(Push& push) const {
  if (push.cause == Cause::length) push.lengths = 1;
  if (push.parent == none) return;
  const Push& parent = log_[push.parent];
  push.travelled += parent.travelled;
  push.lengths += parent.lengths;
  push.depth = parent.depth + 1;
  push.marker = std::has_single_bit(push.depth) ? none : parent.marker;
}

/// Whether the chain that ends in this push holds a negative cycle of links: a lap that comes back
/// to a point lower by its links alone, whatever days are allowed on the way.
bool Propagation::closes_cycle(PushId id) {
  const Push& push = log_[id];
  if (push.marker != id && log_[push.marker].point == push.point && lap_falls(id, push.marker)) {
    return true;
  }
  // A chain longer than there are points must have circled, perhaps never through its marker.
  return push.depth % (height_.size() + 1) == 0 && repeats_without_days(id);
}

bool Propagation::lap_falls(PushId later, PushId earlier) const {
  return log_[later].lengths == log_[earlier].lengths &&
         log_[later].travelled < log_[earlier].travelled;
}

/// Walks up the last pushes of a chain, one more than there are points; on the first falling lap,
/// leaves its ends in the log so that `read_chain` finds them.
bool Propagation::repeats_without_days(PushId id) {
  seen_.assign(height_.size(), none);
  std::size_t steps = height_.size() + 1;
  for (PushId at = id; at != none && steps > 0; at = log_[at].parent, --steps) {
    PushId& later = seen_[log_[at].point];
    if (later != none && lap_falls(later, at)) {
      log_[later].marker = at;
      if (later != id) log_.push_back(log_[later]);
      return true;
    }
    later = at;
  }
  return false;
}

/// The nearest allowed day at or below a height.
std::optional<Propagation::Height> Propagation::settle(PointId point, Height wanted) const {
  const calendar::DaySet* allowed = network_->point(point).allowed;
  if (!allowed) return wanted;
  if (side_ == Side::latest) {
    if (wanted < calendar::first_day) return {};
    return allowed->previous(static_cast<Day>(std::min<Height>(wanted, calendar::last_day)));
  }
  if (-wanted > calendar::last_day) return {};
  const auto day = allowed->next(static_cast<Day>(std::max<Height>(-wanted, calendar::first_day)));
  if (!day) return {};
  return -Height{*day};
}

std::optional<Day> Propagation::near_bound(PointId point) const {
  const Network::Point& p = network_->point(point);
  return side_ == Side::latest ? p.not_after : p.not_before;
}

std::optional<Day> Propagation::far_bound(PointId point) const {
  const Network::Point& p = network_->point(point);
  return side_ == Side::latest ? p.not_before : p.not_after;
}

void Propagation::read_chain(std::vector<Fact>& facts, Day& misses, bool& simple) {
  facts.clear();
  misses = 0;
  const auto end = static_cast<PushId>(log_.size() - 1);
  const PushId stop = failure_ == Failure::cycle ? log_[end].marker : none;
  simple = failure_ == Failure::cycle || failure_ == Failure::far_bound;

  const auto add = [&](Fact::Kind kind, std::uint32_t id, Day day = 0) {
    facts.push_back({kind, id, day});
  };
  const bool latest = side_ == Side::latest;
  seen_.assign(height_.size(), none);
  // Read backwards: within a push, first where it settled, then what caused it.
  if (failure_ == Failure::far_bound) {
    const Push& last = log_[end];
    misses = static_cast<Day>(to_height(*far_bound(last.point)) - last.height);
    add(latest ? Fact::Kind::not_before : Fact::Kind::not_after, last.point);
  } else if (failure_ == Failure::cycle) {
    misses = static_cast<Day>(log_[stop].travelled - log_[end].travelled);
  }
  for (PushId at = end; at != stop; at = log_[at].parent) {
    const Push& push = log_[at];
    if (seen_[push.point] != none) simple = false;
    seen_[push.point] = at;
    const bool moved = push.height != push.wanted || (at == end && failure_ == Failure::no_day);
    if ((moved && failure_ != Failure::cycle) || push.cause == Cause::allowed) {
      const Height nearest = std::clamp<Height>(latest ? push.wanted : -push.wanted,
                                                calendar::first_day, calendar::last_day);
      add(Fact::Kind::allowed, push.point, static_cast<Day>(nearest));
      simple = false;
    }
    switch (push.cause) {
      case Cause::nothing:
      case Cause::allowed:
        break;
      case Cause::bound:
        add(latest ? Fact::Kind::not_after : Fact::Kind::not_before, push.point);
        break;
      case Cause::link_low:
        add(Fact::Kind::link_low, push.link);
        break;
      case Cause::link_high:
        add(Fact::Kind::link_high, push.link);
        break;
      case Cause::length:
        add(Fact::Kind::length, push.link);
        simple = false;
        break;
    }
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
}

}  // namespace budwood::network
