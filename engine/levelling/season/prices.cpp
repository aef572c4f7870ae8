#include "levelling/season/prices.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "threads/threads.hpp"

namespace budwood::levelling {

namespace {

/// Of a day on which a group cannot be.
constexpr double impossible = 1e15;
/// Rounding cannot make a bound more than it is.
constexpr double margin = 1e-3;
/// What a day in the other objectives is, against one in the first.
constexpr double aside = 1e-4;
constexpr std::uint32_t no_tree = UINT32_MAX;

}  // namespace

Prices::Prices(const Problem& problem, const Groups& groups, const Profile& free) {
  if (free.last_day() < free.first_day()) return;
  first_ = free.first_day();
  days_ = free.last_day() - first_ + 1;
  scale_.assign(problem.resources.size(), 1);
  for (const Use& use : problem.uses) {
    scale_[use.resource] = std::max(scale_[use.resource], static_cast<double>(use.amount));
  }
  for (ResourceId r = 0; r < problem.resources.size(); ++r) {
    for (Day day = first_; day < first_ + days_; ++day) {
      there_.push_back(static_cast<double>(std::max<Amount>(0, free.free(r, day))) / scale_[r]);
    }
  }
  prices_.assign(there_.size(), 0);
  sums_.assign(there_.size() + problem.resources.size(), 0);
  halves_.resize(2);
  tree_of_.assign(groups.count(), {0, no_tree});
  for (GroupId g = 0; g < groups.count(); ++g) {
    if (groups.is_fixed(g)) continue;
    PriceTreeMaker maker(problem, groups, g);
    if (!maker.possible()) continue;
    for (const GivenTake& given : maker.given()) {
      for (Day day = given.first; day < given.end; ++day) {
        double& there = there_[place(given.resource, day)];
        there = std::max(0.0, there - given.amount / scale_[given.resource]);
      }
    }
    const std::uint32_t number = 2 * g < groups.count() ? 0 : 1;
    Half& half = halves_[number];
    tree_of_[g] = {number, static_cast<std::uint32_t>(half.trees.size())};
    half.trees.push_back(maker.tree());
    for (PriceNode& node : half.trees.back().nodes) {
      for (PriceTake& take : node.takes) take.amount /= scale_[take.resource];
    }
  }
}

/// Of the days from..to; below 0 when `to` is before `from`.
double Prices::price(ResourceId resource, Day from, Day to) const {
  const std::size_t row = place(resource, first_) + resource;
  return sums_[row + static_cast<std::size_t>(to - first_)] -
         sums_[row + static_cast<std::size_t>(from - first_)];
}

Day Prices::slip_of(const PriceTake& take, Day day) const {
  Day best = left_out;
  double least = std::numeric_limits<double>::infinity();
  for (Day slip = 0; slip <= take.slack; ++slip) {
    const Day begin = day + take.from + slip;
    if (take.starts != nullptr && !take.starts->contains(begin)) continue;
    const double cost = price(take.resource, begin, day + take.to + slip);
    if (cost >= least) continue;
    least = cost;
    best = slip;
  }
  return best;
}

double Prices::cost_of(const PriceTake& take, Day day) const {
  switch (take.side) {
    case PriceTake::Side::begin:
      return -take.amount * price(take.resource, first_, day + take.from);
    case PriceTake::Side::end:
      // It may end before anything else begins, and then takes nothing.
      return take.amount * price(take.resource, first_, std::max(first_, day + take.to));
    case PriceTake::Side::both:
      break;
  }
  if (take.slack == 0 && take.starts == nullptr) {
    return take.amount * price(take.resource, day + take.from, day + take.to);
  }
  const Day slip = slip_of(take, day);
  if (slip == left_out) return take.optional ? 0 : impossible;
  return take.amount * price(take.resource, day + take.from + slip, day + take.to + slip);
}

/// What a take costs beside all others: where there is too little it cannot be.
double Prices::cost_beside(const PriceTake& take, Day day, const Beside& beside) const {
  if (take.side != PriceTake::Side::both) return beside.priced ? cost_of(take, day) : 0;
  const auto amount = static_cast<Amount>(std::llround(take.amount * scale_[take.resource]));
  double least = std::numeric_limits<double>::infinity();
  bool can = false;
  for (Day slip = 0; slip <= take.slack; ++slip) {
    const Day begin = day + take.from + slip;
    if (take.starts != nullptr && !take.starts->contains(begin)) continue;
    can = true;
    const Day end = day + take.to + slip;
    if (beside.profile->first_short(take.resource, amount, begin, end)) continue;
    least = std::min(least, beside.priced ? take.amount * price(take.resource, begin, end) : 0);
    if (!beside.priced) break;
  }
  if (!can && take.optional) return 0;
  return std::min(least, impossible);
}

double Prices::cost_of(const PriceNode& node, Day day, const Beside* beside) const {
  if (node.allowed != nullptr && !node.allowed->contains(day)) return impossible;
  double sum = 0;
  Cost first = 0;
  for (const Term& term : node.terms) first += term.at(day);
  sum += static_cast<double>(first);
  if (beside == nullptr) {
    for (const PriceTake& take : node.takes) sum += cost_of(take, day);
    return sum;
  }
  if (first > beside->most) return impossible;
  for (const Term& term : node.others) sum += aside * static_cast<double>(term.at(day));
  for (const PriceTake& take : node.takes) {
    sum += cost_beside(take, day, *beside);
    if (sum >= impossible) return impossible;
  }
  return sum;
}

/// What a node pays by day of its parent: the least of the days that this leaves. Both ends of them
/// never fall, so that a queue of candidates is enough.
void Prices::hang(Half& half, const PriceTree& tree, std::size_t number) {
  const PriceNode& node = tree.nodes[number];
  const PriceNode& parent = tree.nodes[static_cast<std::size_t>(node.parent)];
  const double* own = &half.sums[node.at];
  half.window.clear();
  std::size_t head = 0;
  std::int32_t next = 0;
  for (std::int32_t x = 0; x < parent.count; ++x) {
    const std::int32_t from = node.from[static_cast<std::size_t>(x)];
    const std::int32_t to = node.to[static_cast<std::size_t>(x)];
    const std::size_t slot = node.chosen_at + static_cast<std::size_t>(x);
    half.best[slot] = -1;
    if (from > to) {
      half.sums[parent.at + static_cast<std::size_t>(x)] += impossible;
      continue;
    }
    for (; next <= to; ++next) {
      while (half.window.size() > head && own[half.window.back()] >= own[next]) {
        half.window.pop_back();
      }
      half.window.push_back(next);
    }
    while (head < half.window.size() && half.window[head] < from) ++head;
    if (head == half.window.size()) {
      half.sums[parent.at + static_cast<std::size_t>(x)] += impossible;
      continue;
    }
    half.best[slot] = half.window[head];
    half.sums[parent.at + static_cast<std::size_t>(x)] += own[half.window[head]];
  }
}

void Prices::take(Half& half, const PriceNode& node, Day day) const {
  const auto add = [&](ResourceId resource, Day from, Day to, double amount) {
    for (Day d = from; d < to; ++d) half.taken[place(resource, d)] += amount;
  };
  for (const PriceTake& one : node.takes) {
    switch (one.side) {
      case PriceTake::Side::begin:
        add(one.resource, first_, day + one.from, -one.amount);
        break;
      case PriceTake::Side::end:
        add(one.resource, first_, day + one.to, one.amount);
        break;
      case PriceTake::Side::both: {
        const bool slips = one.slack > 0 || one.starts != nullptr;
        const Day slip = slips ? slip_of(one, day) : 0;
        if (slip != left_out) {
          add(one.resource, day + one.from + slip, day + one.to + slip, one.amount);
        }
        break;
      }
    }
  }
}

void Prices::choose(Half& half, const PriceTree& tree, const Beside* beside) {
  half.sums.assign(tree.size, 0);
  half.best.resize(std::max(half.best.size(), tree.choices));
  for (std::size_t i = tree.nodes.size(); i-- > 0;) {
    const PriceNode& node = tree.nodes[i];
    for (std::int32_t x = 0; x < node.count; ++x) {
      half.sums[node.at + static_cast<std::size_t>(x)] += cost_of(node, node.first + x, beside);
    }
    if (node.parent >= 0) hang(half, tree, i);
  }
  half.chosen.assign(tree.nodes.size(), -1);
  for (std::size_t i = 0; i < tree.nodes.size(); ++i) {
    const PriceNode& node = tree.nodes[i];
    if (node.parent < 0) {
      const auto begin = half.sums.begin() + static_cast<std::ptrdiff_t>(node.at);
      const auto least = std::min_element(begin, begin + node.count);
      half.cost += *least;
      half.chosen[i] = static_cast<std::int32_t>(least - begin);
    } else {
      const std::int32_t up = half.chosen[static_cast<std::size_t>(node.parent)];
      if (up >= 0) half.chosen[i] = half.best[node.chosen_at + static_cast<std::size_t>(up)];
    }
    if (half.chosen[i] >= 0 && beside == nullptr) take(half, node, node.first + half.chosen[i]);
  }
}

void Prices::choose(Half& half) {
  half.cost = 0;
  half.taken.assign(there_.size(), 0);
  for (const PriceTree& tree : half.trees) choose(half, tree);
}

void Prices::add_up_prices() {
  const auto days = static_cast<std::size_t>(days_);
  for (std::size_t r = 0; r < scale_.size(); ++r) {
    double* sums = &sums_[r * (days + 1)];
    for (std::size_t d = 0; d < days; ++d) sums[d + 1] = sums[d] + prices_[r * days + d];
  }
}

std::vector<Day> Prices::days_for(GroupId group, const Profile& beside, bool priced, Cost most) {
  if (tree_of_.empty() || tree_of_[group].second == no_tree) return {};
  const PriceTree& tree = halves_[tree_of_[group].first].trees[tree_of_[group].second];
  const Beside by{&beside, priced, most};
  one_.cost = 0;
  choose(one_, tree, &by);
  if (one_.cost >= impossible) return {};
  std::vector<Day> out(tree.nodes.size());
  for (std::size_t i = 0; i < tree.nodes.size(); ++i) {
    if (one_.chosen[i] < 0) return {};
    out[tree.nodes[i].place] = tree.nodes[i].first + one_.chosen[i];
  }
  return out;
}

/// What all groups pay at these prices, less the price of what there is.
double Prices::choose_all() {
  add_up_prices();
  double there = 0;
  for (std::size_t i = 0; i < prices_.size(); ++i) {
    if (prices_[i] > 0) there += prices_[i] * there_[i];
  }
  threads::each_piece(halves_.size(), [this](std::size_t half) { choose(halves_[half]); });
  return halves_[0].cost + halves_[1].cost - there;
}

Cost Prices::raise(Cost reached, std::size_t choices, const std::function<bool()>& stop) {
  if (halves_.empty()) return 0;
  const std::size_t trees = halves_[0].trees.size() + halves_[1].trees.size();
  const auto aim = static_cast<double>(reached);
  constexpr int patience = 8;
  constexpr double keep = 0.6, shrink = 0.6, smallest_step = 1e-3;
  double best = 0, step = 1;
  int idle = 0;
  std::vector<double> direction(prices_.size(), 0);
  std::vector<double> best_prices = prices_;
  for (std::size_t done = 0; done < choices && step > smallest_step; done += trees) {
    const double bound = choose_all();
    if (bound > best + margin) {
      best = bound;
      best_prices = prices_;
      has_prices_ = true;
      idle = 0;
    } else if (++idle >= patience) {
      idle = 0;
      step *= shrink;
    }
    if (std::ceil(best - margin) >= aim || stop()) break;
    double length = 0;
    for (std::size_t i = 0; i < prices_.size(); ++i) {
      const double more = halves_[0].taken[i] + halves_[1].taken[i] - there_[i];
      double& way = direction[i];
      way = more + keep * way;
      if (prices_[i] <= 0 && way < 0) way = 0;
      length += way * way;
    }
    if (!(length > 0)) break;
    const double by = step * (aim + 1 - bound) / length;
    for (std::size_t i = 0; i < prices_.size(); ++i) {
      prices_[i] = std::max(0.0, prices_[i] + by * direction[i]);
    }
  }
  prices_ = best_prices;
  add_up_prices();
  return best <= margin ? 0 : static_cast<Cost>(std::ceil(best - margin));
}

}  // namespace budwood::levelling
