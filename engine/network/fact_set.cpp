#include "network/fact_set.hpp"

namespace budwood::network {

bool is_of_link(const Fact& fact) {
  return fact.kind == Fact::Kind::link_low || fact.kind == Fact::Kind::link_high ||
         fact.kind == Fact::Kind::length;
}

bool is_bound(const Fact& fact) {
  return fact.kind != Fact::Kind::length && fact.kind != Fact::Kind::allowed;
}

bool same_fact(const Fact& a, const Fact& b) {
  return a.kind == b.kind && a.id == b.id;
}

void loosen(Network& network, const Fact& fact, Day days) {
  switch (fact.kind) {
    case Fact::Kind::link_low: {
      const Network::Link link = network.link(fact.id);
      return network.set_link(fact.id, *link.low - days, link.high);
    }
    case Fact::Kind::link_high: {
      const Network::Link link = network.link(fact.id);
      return network.set_link(fact.id, link.low, *link.high + days);
    }
    case Fact::Kind::not_before:
      return network.set_not_before(fact.id, *network.point(fact.id).not_before - days);
    case Fact::Kind::not_after:
      return network.set_not_after(fact.id, *network.point(fact.id).not_after + days);
    case Fact::Kind::length:
    case Fact::Kind::allowed:
      return;
  }
}

FactSet::FactSet(const Network& whole, const std::vector<Fact>& facts)
    : whole_(&whole), facts_(facts) {
  for (const Fact& fact : facts_) {
    if (is_of_link(fact)) {
      const PointId from = local(whole.link(fact.id).from);
      const PointId to = local(whole.link(fact.id).to);
      place_.push_back(whole.link(fact.id).limit ? network_.add_limit(from, to, nullptr)
                                                 : network_.add_link(from, to, {}, {}));
      links_.push_back(fact.id);
    } else {
      place_.push_back(local(fact.id));
    }
  }
  for (std::size_t i = 0; i < facts_.size(); ++i) show(i);
}

PointId FactSet::local(PointId point) {
  const auto [place, added] = local_.try_emplace(point, static_cast<PointId>(points_.size()));
  if (!added) return place->second;
  points_.push_back(point);
  return network_.add_point();
}

void FactSet::put(std::size_t index, bool visible, Day give) {
  const Fact& fact = facts_[index];
  const std::uint32_t own = place_[index];
  const auto bound = [&](const std::optional<Day>& day, Day by) {
    return visible ? std::optional<Day>(*day + by) : std::nullopt;
  };
  switch (fact.kind) {
    case Fact::Kind::link_low:
      return network_.set_link(own, bound(whole_->link(fact.id).low, -give), {});
    case Fact::Kind::link_high:
      return network_.set_link(own, {}, bound(whole_->link(fact.id).high, give));
    case Fact::Kind::length:
      return network_.set_length(own, visible ? whole_->link(fact.id).length : nullptr);
    case Fact::Kind::not_before:
      return network_.set_not_before(own, bound(whole_->point(fact.id).not_before, -give));
    case Fact::Kind::not_after:
      return network_.set_not_after(own, bound(whole_->point(fact.id).not_after, give));
    case Fact::Kind::allowed:
      return network_.set_allowed(own, visible ? whole_->point(fact.id).allowed : nullptr);
  }
}

bool FactSet::contradicts(Side side) {
  return propagation_.run(network_, side) == Propagation::Outcome::contradiction;
}

std::vector<Fact> FactSet::chain() const {
  std::vector<Fact> facts = propagation_.failing_facts();
  for (Fact& fact : facts) fact.id = is_of_link(fact) ? links_[fact.id] : points_[fact.id];
  return facts;
}

}  // namespace budwood::network
