#include "network/back_propagation.hpp"

#include <algorithm>
#include <limits>
#include <queue>
#include <tuple>

namespace budwood::network {

BackPropagation::BackPropagation(const Uncertain& network) : points_(network.points) {
  const std::size_t nodes = points_ + network.contingents.size();
  into_.resize(nodes);
  negative_.assign(nodes, 0);
  state_.assign(nodes, State::untouched);
  for (std::size_t i = 0; i < network.requirements.size(); ++i) add_requirement(network, i);
  for (std::size_t i = 0; i < network.contingents.size(); ++i) add_contingent(network, i);
}

void BackPropagation::add_requirement(const Uncertain& network, std::size_t index) {
  const Requirement& requirement = network.requirements[index];
  const auto from = static_cast<Node>(requirement.from);
  const auto to = static_cast<Node>(requirement.to);
  const auto kind = Part::Kind::requirement;
  if (requirement.high) add_arc(from, to, *requirement.high, Label::plain, {kind, index, 0, 1});
  if (requirement.low) add_arc(to, from, -*requirement.low, Label::plain, {kind, index, -1, 0});
}

void BackPropagation::add_contingent(const Uncertain& network, std::size_t index) {
  const Contingent& link = network.contingents[index];
  const auto from = static_cast<Node>(link.from);
  const auto to = static_cast<Node>(link.to);
  const auto middle = static_cast<Node>(points_ + index);
  const Length spread = link.high - link.low;
  const auto kind = Part::Kind::contingent;
  add_arc(from, middle, link.low, Label::plain, {kind, index, 1, 0});
  add_arc(middle, from, -link.low, Label::plain, {kind, index, -1, 0});
  // The labelled arcs are tighter than the plain ones of the same bounds wherever those could
  // count.
  add_arc(middle, to, 0, Label::lower, {kind, index, 0, 0});
  add_arc(to, middle, -spread, Label::upper, {kind, index, 1, -1});
}

void BackPropagation::add_arc(Node from, Node to, Length weight, Label label, const Share& share) {
  into_[to].push_back(static_cast<ArcId>(arcs_.size()));
  arcs_.push_back({from, to, weight, label, share, none});
  if (weight < 0) negative_[to] = 1;
}

/// Dijkstra's labels around one source.
class BackPropagation::Search {
 public:
  explicit Search(std::size_t nodes) : distance_(nodes, unreached), trail_(nodes, none) {}

  static constexpr Length unreached = std::numeric_limits<Length>::max();
  Length distance(Node node) const { return distance_[node]; }
  TrailId trail(Node node) const { return trail_[node]; }

  void reach(Node node, Length distance, TrailId trail) {
    distance_[node] = distance;
    trail_[node] = trail;
    queue_.emplace(distance, node);
  }
  /// The nearest node that has not been handed out at its distance; nothing left gives false.
  bool next(Node& node) {
    while (!queue_.empty()) {
      const auto [distance, candidate] = queue_.top();
      queue_.pop();
      if (distance != distance_[candidate]) continue;
      node = candidate;
      return true;
    }
    return false;
  }

 private:
  using Entry = std::pair<Length, Node>;
  std::vector<Length> distance_;
  std::vector<TrailId> trail_;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue_;
};

bool BackPropagation::controllable() {
  for (Node node = 0; node < into_.size(); ++node) {
    if (negative_[node] && !propagate(node)) return false;
  }
  return true;
}

bool BackPropagation::propagate(Node source) {
  if (state_[source] == State::done) return true;
  state_[source] = State::under_way;
  frames_.push_back({source, none});
  Search search(into_.size());
  for (const ArcId id : into_[source]) {
    const Arc& arc = arcs_[id];
    if (arc.weight >= 0 || arc.weight >= search.distance(arc.from)) continue;
    trails_.push_back({id, none});
    const auto trail = static_cast<TrailId>(trails_.size() - 1);
    if (arc.from == source) {
      close_cycle(source, trail, arc.weight);
      return false;
    }
    search.reach(arc.from, arc.weight, trail);
  }
  for (Node at = 0; search.next(at);) {
    if (!pass(source, search, at)) return false;
  }
  frames_.pop_back();
  state_[source] = State::done;
  return true;
}

/// Goes on from a node that lies at its final distance before the source.
bool BackPropagation::pass(Node source, Search& search, Node at) {
  const Length distance = search.distance(at);
  const TrailId rest = search.trail(at);
  if (distance >= 0) {
    add_arc(at, source, distance, Label::plain, {});
    arcs_.back().trail = rest;
    return true;
  }
  if (negative_[at]) {
    if (state_[at] == State::under_way) {
      close_cycle(at, rest, distance);
      return false;
    }
    frames_.back().to_next = rest;
    if (!propagate(at)) return false;
  }
  for (const ArcId id : into_[at]) {
    const Arc& arc = arcs_[id];
    if (arc.weight < 0 || crosses_itself(source, arc)) continue;
    const Length longer = distance + arc.weight;
    if (arc.from == source ? longer >= 0 : longer >= search.distance(arc.from)) continue;
    trails_.push_back({id, rest});
    const auto trail = static_cast<TrailId>(trails_.size() - 1);
    if (arc.from == source) {
      close_cycle(source, trail, longer);
      return false;
    }
    search.reach(arc.from, longer, trail);
  }
  return true;
}

/// The longest length that nature may pick says nothing about its own shortest one. The sources of
/// upper arcs are the middle points, which nothing else leads negatively into.
bool BackPropagation::crosses_itself(Node source, const Arc& arc) const {
  return arc.label == Label::lower && arc.from == source && source >= points_;
}

/// `from` is under way; `last` leads from it to the innermost source.
void BackPropagation::close_cycle(Node from, TrailId last, Length weight) {
  cycle_.assign(1, last);
  cycle_weight_ = weight;
  for (std::size_t i = frames_.size() - 1; frames_[i].source != from; --i) {
    cycle_.push_back(frames_[i - 1].to_next);
    cycle_weight_ += trail_weight(frames_[i - 1].to_next);
  }
}

Length BackPropagation::trail_weight(TrailId trail) const {
  Length weight = 0;
  for (; trail != none; trail = trails_[trail].rest) weight += arcs_[trails_[trail].arc].weight;
  return weight;
}

std::vector<BackPropagation::Share> BackPropagation::cycle() const {
  std::vector<Share> shares;
  std::vector<TrailId> open(cycle_.rbegin(), cycle_.rend());
  while (!open.empty()) {
    const TrailId trail = open.back();
    open.pop_back();
    if (trails_[trail].rest != none) open.push_back(trails_[trail].rest);
    const Arc& arc = arcs_[trails_[trail].arc];
    if (arc.trail != none) {
      open.push_back(arc.trail);
    } else {
      shares.push_back(arc.share);
    }
  }
  return shares;
}

}  // namespace budwood::network
