#include "plan/needs/deliveries.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "units/rounding.hpp"

namespace budwood::plan {

namespace {

using units::slack;

/// Finds the cheapest way from nothing bought to all uses served.
class DeliveryPath {
 public:
  explicit DeliveryPath(const BuyingProblem& problem)
      : p_(problem),
        one_way_(problem.offers.size() == 1 && !problem.keeps && problem.storage == 0) {}

  std::vector<Bought> find() {
    if (p_.uses.empty()) return {};
    states_[{0, 0}] = State{};
    // Every delivery leads to a later use, so each state is at its cheapest when it is looked at.
    for (std::size_t use = 0; use < p_.uses.size(); ++use) {
      for (const Key& key : looked_at(use)) leave(key, states_.at(key));
    }
    return way_back();
  }

 private:
  /// How much is looked at: all ways, but of supplies of hundreds of days in packs that differ only
  /// the cheapest to each day.
  static constexpr double most_work = 2e8;

  /// The first use that is not wholly served, and how much was served in all, in parts of the
  /// total, so that rounding does not make two states of one.
  struct Key {
    std::size_t use = 0;
    std::int64_t served = 0;
    auto operator<=>(const Key&) const = default;
  };
  struct State {
    double served = 0;
    double cost = 0;
    std::size_t deliveries = 0;
    double bought = 0;
    Key before;
    Bought by;
  };

  /// The states in which a use is the next to be served.
  std::vector<Key> looked_at(std::size_t use) const {
    std::vector<Key> out;
    for (auto at = states_.lower_bound({use, 0}); at != states_.end() && at->first.use == use;
         ++at) {
      out.push_back(at->first);
    }
    const double uses = static_cast<double>(p_.uses.size());
    const auto most = static_cast<std::size_t>(
        std::max(4.0, most_work / (uses * uses * uses * static_cast<double>(p_.offers.size()))));
    if (out.size() <= most) return out;
    std::stable_sort(out.begin(), out.end(), [&](const Key& one, const Key& other) {
      return states_.at(one).cost < states_.at(other).cost;
    });
    out.resize(most);
    return out;
  }

  double before(std::size_t use) const { return use == 0 ? 0 : p_.uses[use - 1].total; }

  bool keeps_until(calendar::Day from, std::size_t use) const {
    return !p_.keeps || p_.uses[use].day - from <= *p_.keeps;
  }

  /// Those that come in time; where none does, those that come first.
  std::vector<std::size_t> offers_for(calendar::Day day) const {
    std::vector<std::size_t> in_time;
    std::optional<calendar::Day> soonest;
    for (std::size_t i = 0; i < p_.offers.size(); ++i) {
      const auto& earliest = p_.earliest[i];
      if (!earliest || *earliest <= day) in_time.push_back(i);
      if (earliest) soonest = std::min(soonest.value_or(*earliest), *earliest);
    }
    if (!in_time.empty()) return in_time;
    for (std::size_t i = 0; i < p_.offers.size(); ++i) {
      if (p_.earliest[i] == soonest) in_time.push_back(i);
    }
    return in_time;
  }

  double whole(const Offer& offer, double amount) const {
    if (offer.pack > 0) return units::round_up(amount / offer.pack) * offer.pack;
    return p_.counted ? units::round_up(amount) : amount;
  }

  /// What may come at once: enough up to each use for which it keeps, and what has a lower price.
  std::vector<double> amounts(const Offer& offer, const Key& key, const State& state) const {
    std::vector<double> out;
    const auto add = [&](double amount) {
      out.push_back(whole(offer, std::max(amount, offer.minimum)));
    };
    const calendar::Day day = p_.uses[key.use].day;
    for (std::size_t i = one_way_ ? p_.uses.size() - 1 : key.use;
         i < p_.uses.size() && keeps_until(day, i); ++i) {
      add(p_.uses[i].total - state.served);
    }
    for (const Offer::Break& one : offer.breaks) {
      const bool enough = !one_way_ || one.from >= out.front();
      if (enough) add(one.from);
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
  }

  void leave(const Key& key, const State& state) {
    for (const std::size_t offer : offers_for(p_.uses[key.use].day)) {
      for (const double amount : amounts(p_.offers[offer], key, state)) {
        arrive(key, state, offer, amount);
      }
    }
  }

  void arrive(const Key& key, const State& state, std::size_t offer, double amount) {
    const calendar::Day day = p_.uses[key.use].day;
    State next = state;
    next.served = state.served + amount;
    std::size_t use = key.use;
    double served = state.served;
    for (; use < p_.uses.size() && keeps_until(day, use); ++use) {
      const double total = p_.uses[use].total;
      const double up_to = std::min(total, next.served);
      next.cost += (up_to - served) * p_.storage * (p_.uses[use].day - day);
      served = up_to;
      if (total > next.served + slack(total, next.served)) break;
    }
    const bool ends = use == p_.uses.size() || !keeps_until(day, use);
    Bought& by = next.by;
    by = {offer, key.use, use, state.served, amount, 0, 0, false};
    if (ends || served <= before(use) + slack(served, before(use))) --by.last;
    if (by.last + 1 == key.use) return;  // serves nothing: a break below a pack
    const double enough = p_.uses[by.last].total;
    const double wanted = std::min(served, enough) - state.served;
    by.least =
        std::min(amount, whole(p_.offers[offer], std::max(wanted, p_.offers[offer].minimum)));
    if (ends) {
      by.over = std::max(0.0, next.served - before(use));
      by.spoils = use < p_.uses.size();
      next.served = before(use);
    }
    if (by.over <= slack(by.over, amount)) by.over = 0;
    next.cost += delivery_cost(p_.offers[offer], amount);
    next.deliveries += 1;
    next.bought += amount;
    next.before = key;
    const double all = p_.uses.back().total;
    constexpr double parts = 1e9;
    const Key to{use, std::llround(next.served / all * parts)};
    const auto [at, is_new] = states_.try_emplace(to, next);
    if (!is_new && better(next, at->second)) at->second = next;
  }

  static bool better(const State& one, const State& other) {
    const double apart = one.cost - other.cost;
    if (std::abs(apart) > slack(one.cost, other.cost)) return apart < 0;
    if (one.deliveries != other.deliveries) return one.deliveries < other.deliveries;
    return one.bought < other.bought - slack(one.bought, other.bought);
  }

  std::vector<Bought> way_back() const {
    auto best = states_.end();
    for (auto at = states_.lower_bound({p_.uses.size(), 0}); at != states_.end(); ++at) {
      if (best == states_.end() || better(at->second, best->second)) best = at;
    }
    std::vector<Bought> out;
    while (best != states_.end() && best->second.deliveries > 0) {
      out.push_back(best->second.by);
      best = states_.find(best->second.before);
    }
    std::reverse(out.begin(), out.end());
    return out;
  }

  const BuyingProblem& p_;
  const bool one_way_;  ///< nothing speaks for more than one delivery
  std::map<Key, State> states_;
};

}  // namespace

std::optional<double> Offer::price_of(double amount) const {
  std::optional<double> out = price;
  for (const Break& one : breaks) {
    if (amount >= one.from - slack(amount, one.from)) out = one.price;
  }
  return out;
}

double delivery_cost(const Offer& offer, double amount) {
  return amount * offer.price_of(amount).value_or(0) + offer.fee;
}

std::vector<Bought> cheapest_deliveries(const BuyingProblem& problem) {
  return DeliveryPath(problem).find();
}

}  // namespace budwood::plan
