#include "network/controllability.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "network/back_propagation.hpp"

namespace budwood::network {
namespace {

/// A requirement bound or a whole contingent link: what a conflict can do without or not.
struct Item {
  Part::Kind kind = Part::Kind::requirement;
  std::size_t index = 0;
  Part::Side side = Part::Side::low;  ///< of a requirement
  friend auto operator<=>(const Item&, const Item&) = default;
};

/// What a failing cycle says about the network it was found in.
struct Failing {
  std::set<Item> items;
  std::vector<Part> parts;
  Length misses = 0;
};

/// The bounds of a failing cycle. Those that count as often for as against it cancel out and are
/// not named. Those of a contingent link never do: it is passed one way at its lower bound, the
/// other way at its upper one.
Failing read_cycle(const BackPropagation& propagation) {
  std::map<std::pair<Part::Kind, std::size_t>, std::pair<int, int>> shares;
  for (const auto& share : propagation.cycle()) {
    auto& sum = shares[{share.kind, share.index}];
    sum.first += share.low;
    sum.second += share.high;
  }
  Failing failing;
  failing.misses = -propagation.cycle_weight();
  for (const auto& [key, sum] : shares) {
    const auto [kind, index] = key;
    if (sum.first != 0) failing.parts.push_back({kind, index, Part::Side::low});
    if (sum.second != 0) failing.parts.push_back({kind, index, Part::Side::high});
  }
  for (const Part& part : failing.parts) {
    const bool contingent = part.kind == Part::Kind::contingent;
    failing.items.insert({part.kind, part.index, contingent ? Part::Side::low : part.side});
  }
  return failing;
}

/// The network that holds only some items, its points renumbered.
class Excerpt {
 public:
  Excerpt(const Uncertain& whole, const std::set<Item>& items) {
    for (const Item& item : items) {
      if (item.kind == Part::Kind::contingent) {
        Contingent link = whole.contingents[item.index];
        link.from = local(link.from);
        link.to = local(link.to);
        network_.contingents.push_back(link);
        contingents_.push_back(item.index);
      } else {
        Requirement bound = whole.requirements[item.index];
        bound.from = local(bound.from);
        bound.to = local(bound.to);
        (item.side == Part::Side::low ? bound.high : bound.low).reset();
        network_.requirements.push_back(bound);
        requirements_.push_back(item.index);
      }
    }
    network_.points = local_.size();
  }

  /// Whether it fails too; then why, in the numbers of the whole.
  bool fails(Failing& failing) const {
    BackPropagation propagation(network_);
    if (propagation.controllable()) return false;
    failing = read_cycle(propagation);
    std::set<Item> items;
    for (Item item : failing.items) {
      item.index = whole_index(item.kind, item.index);
      items.insert(item);
    }
    failing.items = std::move(items);
    for (Part& part : failing.parts) part.index = whole_index(part.kind, part.index);
    return true;
  }

 private:
  std::size_t local(std::size_t point) {
    return local_.try_emplace(point, local_.size()).first->second;
  }
  std::size_t whole_index(Part::Kind kind, std::size_t index) const {
    return kind == Part::Kind::contingent ? contingents_[index] : requirements_[index];
  }

  Uncertain network_;
  std::map<std::size_t, std::size_t> local_;
  std::vector<std::size_t> requirements_, contingents_;
};

/// Leaves out one item after the other for as long as the rest fails.
void thin_out(const Uncertain& network, Failing& failing) {
  const std::set<Item> candidates = failing.items;
  for (const Item& item : candidates) {
    std::set<Item> rest = failing.items;
    if (rest.erase(item) == 0) continue;
    Failing smaller;
    if (Excerpt(network, rest).fails(smaller)) failing = std::move(smaller);
  }
}

/// A contingent link whose bounds make no sense.
std::optional<Verdict> impossible_link(const Uncertain& network) {
  for (std::size_t i = 0; i < network.contingents.size(); ++i) {
    const Contingent& link = network.contingents[i];
    if (0 <= link.low && link.low <= link.high) continue;
    const auto kind = Part::Kind::contingent;
    return Verdict{false,
                   {{kind, i, Part::Side::low}, {kind, i, Part::Side::high}},
                   std::max(-link.low, link.low - link.high)};
  }
  return {};
}

}  // namespace

Verdict check_controllability(const Uncertain& network) {
  if (auto verdict = impossible_link(network)) return *verdict;
  BackPropagation propagation(network);
  if (propagation.controllable()) return {};
  Failing failing = read_cycle(propagation);
  thin_out(network, failing);
  return {false, std::move(failing.parts), failing.misses};
}

}  // namespace budwood::network
