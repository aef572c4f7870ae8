#include "network/layers.hpp"

#include <algorithm>

namespace budwood::network {

Layers::Layers(const Network& network) : rules_(network, Side::latest) {}

std::vector<Fact> Layers::from_bounds(std::size_t most) {
  clear();
  if (most == 0) return {};
  start();
  next_layer();
  for (std::size_t facts = 2; facts <= most && !found_ && !frontier_.empty(); ++facts) {
    for (const StepId step : frontier_) extend(step, false);
    next_layer();
  }
  return facts();
}

std::vector<Fact> Layers::cycle_through(PointId point, std::size_t most) {
  clear();
  Step root;
  root.point = point;
  steps_.push_back(root);
  best_[point] = 0;
  frontier_.push_back(0);
  for (std::size_t facts = 1; facts <= most && !frontier_.empty(); ++facts) {
    for (const StepId step : frontier_) extend(step, true);
    next_layer();
    const StepId closing = best_[point];
    if (closing == 0) continue;
    found_ = {steps_[closing], -steps_[closing].height};
    break;
  }
  return this->facts();
}

void Layers::clear() {
  steps_.clear();
  best_.assign(rules_.network().point_count(), none);
  newest_.assign(rules_.network().point_count(), none);
  changed_.clear();
  frontier_.clear();
  found_.reset();
}

/// What one fact bounds without any other.
void Layers::start() {
  const Network& network = rules_.network();
  for (PointId point = 0; point < network.point_count(); ++point) {
    if (const auto day = rules_.near_bound(point)) {
      bound(point, *day, {rules_.near_fact(), point, 0}, none);
    }
    if (!network.point(point).allowed) continue;
    const Fact fact{Fact::Kind::allowed, point, calendar::last_day};
    const Reach end = rules_.settle(point, open_height);
    if (end.kind == Reach::Kind::impossible) {
      contradict(fact, none, 0);
    } else {
      bound(point, end.height, fact, none);
    }
  }
  for (LinkId id = 0; id < network.link_count(); ++id) {
    const Network::Link& link = network.link(id);
    if (!link.length || !rules_.binds(link, false)) continue;
    const Reach start = rules_.start_of(*link.length, open_height);
    const Fact fact{Fact::Kind::length, id, 0};
    if (start.kind == Reach::Kind::impossible) {
      contradict(fact, none, 0);
    } else {
      bound(link.from, start.height, fact, none);
    }
  }
}

/// Adds one more fact to a chain, in every way there is.
void Layers::extend(StepId at, bool links_only) {
  const Step step = steps_[at];
  const Network& network = rules_.network();
  for (const LinkId id : network.links_at(step.point)) {
    const Network::Link& link = network.link(id);
    for (const bool forward : {true, false}) {
      if (step.point != (forward ? link.from : link.to)) continue;
      ++work_;
      if (link.length) {
        if (!links_only && rules_.binds(link, forward)) extend_by_length(at, id, forward);
      } else if (const auto by = rules_.step(link, forward)) {
        const Fact fact{rules_.step_fact(forward), id, 0};
        bound(forward ? link.to : link.from, step.height + *by, fact, at);
      }
    }
  }
  if (links_only) return;
  const auto far = rules_.far_bound(step.point);
  if (far && step.height < *far) {
    contradict({rules_.far_fact(), step.point, 0}, at, *far - step.height);
  }
  if (!network.point(step.point).allowed) return;
  const Day wanted =
      std::clamp(rules_.to_day(step.height), calendar::first_day, calendar::last_day);
  const Fact fact{Fact::Kind::allowed, step.point, wanted};
  const Reach settled = rules_.settle(step.point, step.height);
  if (settled.kind == Reach::Kind::impossible) {
    contradict(fact, at, 0);
  } else {
    bound(step.point, settled.height, fact, at);
  }
}

void Layers::extend_by_length(StepId at, LinkId id, bool forward) {
  const Network::Link& link = rules_.network().link(id);
  const Height height = steps_[at].height;
  const Reach reach =
      forward ? rules_.end_of(*link.length, height) : rules_.start_of(*link.length, height);
  const Fact fact{Fact::Kind::length, id, 0};
  if (reach.kind == Reach::Kind::impossible) {
    contradict(fact, at, 0);
  } else if (reach.kind == Reach::Kind::height) {
    bound(forward ? link.to : link.from, reach.height, fact, at);
  }
}

void Layers::bound(PointId point, Height height, const Fact& fact, StepId before) {
  if (best_[point] != none && steps_[best_[point]].height <= height) return;
  StepId& newest = newest_[point];
  if (newest == none) {
    newest = static_cast<StepId>(steps_.size());
    steps_.emplace_back();
    changed_.push_back(point);
  } else if (steps_[newest].height <= height) {
    return;
  }
  steps_[newest] = {height, point, fact, before};
}

void Layers::contradict(const Fact& fact, StepId before, Height misses) {
  if (found_ && found_->misses >= misses) return;
  found_ = {{0, 0, fact, before}, misses};
}

void Layers::next_layer() {
  frontier_.clear();
  for (const PointId point : changed_) {
    best_[point] = newest_[point];
    frontier_.push_back(newest_[point]);
    newest_[point] = none;
  }
  changed_.clear();
}

/// The facts of the contradiction that was found, in the order in which they push.
std::vector<Fact> Layers::facts() const {
  std::vector<Fact> facts;
  if (!found_) return facts;
  for (const Step* step = &found_->step;; step = &steps_[step->before]) {
    if (step->fact) facts.push_back(*step->fact);
    if (step->before == none) break;
  }
  std::reverse(facts.begin(), facts.end());
  return facts;
}

}  // namespace budwood::network
