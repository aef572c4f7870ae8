#include "levelling/season/prices.hpp"

#include <algorithm>
#include <cmath>

#include "threads/threads.hpp"

namespace budwood::levelling {

namespace {

/// Rounding cannot make a bound more than it is.
constexpr double margin = 1e-3;
constexpr double relative_margin = 1e-9;
/// What a day in the other objectives is, against one in the first.
constexpr double aside = 1e-4;
constexpr std::uint32_t no_tree = UINT32_MAX;
constexpr std::uint32_t no_table = UINT32_MAX;

double safe(double bound) {
  return bound - margin - relative_margin * std::abs(bound);
}

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
  priced_.assign(problem.resources.size(), false);
  halves_.resize(2);
  tree_of_.assign(groups.count(), {0, no_tree});
  for (GroupId g = 0; g < groups.count(); ++g) {
    if (groups.is_fixed(g)) continue;
    const PriceTreeMaker maker(problem, groups, g);
    if (!maker.possible()) continue;
    for (const GivenTake& given : maker.given()) {
      for (Day day = given.first; day < given.end; ++day) {
        double& there = there_[place(given.resource, day)];
        there = std::max(0.0, there - given.amount / scale_[given.resource]);
      }
    }
    add_tree(maker.tree(), g, 2 * g < groups.count() ? 0 : 1);
  }
}

void Prices::add_tree(PriceTree tree, GroupId group, std::uint32_t half) {
  for (PriceNode& node : tree.nodes) {
    for (PriceTake& take : node.takes) {
      take.amount /= scale_[take.resource];
      set_table(take);
    }
  }
  tree_of_[group] = {half, static_cast<std::uint32_t>(halves_[half].trees.size())};
  halves_[half].trees.push_back(std::move(tree));
}

/// What lasts one day and cannot slip pays the price of the day; there is no other table for it.
void Prices::set_table(PriceTake& take) {
  const Day length = take.to - take.from;
  if (take.side != PriceTake::Side::both || (length == 1 && !take.slips())) return;
  const auto [at, fresh] =
      table_of_.try_emplace({take.resource, length, take.slack, take.starts}, tables_.size());
  take.table = at->second;
  if (!fresh) return;
  tables_.push_back({take.resource, length, take.slack, {}, {}});
  Table& table = tables_.back();
  table.costs.assign(static_cast<std::size_t>(days_), 0);
  table.may_begin.assign(static_cast<std::size_t>(days_), 1);
  for (Day d = 0; take.starts != nullptr && d < days_; ++d) {
    table.may_begin[static_cast<std::size_t>(d)] = take.starts->contains(first_ + d) ? 1 : 0;
  }
}

/// Of the days from..to; below 0 when `to` is before `from`.
double Prices::price(ResourceId resource, Day from, Day to) const {
  return sums_[sum_place(resource, to)] - sums_[sum_place(resource, from)];
}

void Prices::add_up_prices() {
  for (ResourceId r = 0; r < scale_.size(); ++r) {
    const double* prices = prices_.data() + place(r, first_);
    double* sums = sums_.data() + sum_place(r, first_);
    for (Day d = 0; d < days_; ++d) sums[d + 1] = sums[d] + prices[d];
    priced_[r] = sums[days_] > 0;
  }
  for (Table& table : tables_) {
    if (priced_[table.resource]) fill(table);
  }
}

void Prices::fill(Table& table) const {
  const double* sums = sums_.data() + sum_place(table.resource, first_);
  for (Day d = 0; d + table.length <= days_; ++d) {
    double least = impossible;
    for (Day begin = d; begin <= d + table.slack && begin + table.length <= days_; ++begin) {
      if (table.may_begin[static_cast<std::size_t>(begin)] == 0) continue;
      least = std::min(least, sums[begin + table.length] - sums[begin]);
    }
    // Where it has no day to begin on it is left out, or its node is closed.
    table.costs[static_cast<std::size_t>(d)] = least == impossible ? 0 : least;
  }
}

Day Prices::slip_of(const PriceTake& take, Day day) const {
  Day best = left_out;
  double least = impossible;
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

void Prices::add_costs(const PriceNode& node, double* row) const {
  for (const Term& term : node.terms) {
    for (Day x = 0; x < node.count; ++x) row[x] += static_cast<double>(term.at(node.first + x));
  }
  for (const PriceTake& take : node.takes) {
    if (!priced_[take.resource]) continue;
    const Day begin = node.first + take.from;
    const double amount = take.amount;
    if (take.side == PriceTake::Side::both) {
      const double* costs = take.table == no_table
                                ? prices_.data() + place(take.resource, begin)
                                : tables_[take.table].costs.data() + (begin - first_);
      for (Day x = 0; x < node.count; ++x) row[x] += amount * costs[x];
    } else if (take.side == PriceTake::Side::begin) {
      const double* sums = sums_.data() + sum_place(take.resource, begin);
      for (Day x = 0; x < node.count; ++x) row[x] -= amount * sums[x];
    } else {
      // It may end before anything else begins, and then takes nothing.
      const double* sums = sums_.data() + sum_place(take.resource, first_);
      const Day end = node.first + take.to - first_;
      for (Day x = std::max(0, -end); x < node.count; ++x) row[x] += amount * sums[end + x];
    }
  }
}

void Prices::take(Half& half, const PriceNode& node, Day day) const {
  const auto add = [&](ResourceId resource, Day from, Day to, double amount) {
    half.taken[sum_place(resource, from)] += amount;
    half.taken[sum_place(resource, to)] -= amount;
  };
  for (const PriceTake& one : node.takes) {
    switch (one.side) {
      case PriceTake::Side::begin:
        add(one.resource, first_, day + one.from, -one.amount);
        break;
      case PriceTake::Side::end:
        add(one.resource, first_, std::max(first_, day + one.to), one.amount);
        break;
      case PriceTake::Side::both: {
        const Day slip = one.slips() ? slip_of(one, day) : 0;
        if (slip != left_out) {
          add(one.resource, day + one.from + slip, day + one.to + slip, one.amount);
        }
        break;
      }
    }
  }
}

void Prices::choose(Half& half) const {
  half.cost = 0;
  half.taken.assign(sums_.size(), 0);
  for (const PriceTree& tree : half.trees) {
    const double cost = half.choice.choose(
        tree, [this](const PriceNode& node, double* row) { add_costs(node, row); });
    // No schedule places a group that has no days; what is said of all that do is as true.
    if (cost == impossible) continue;
    half.cost += cost;
    for (std::size_t i = 0; i < tree.nodes.size(); ++i) {
      take(half, tree.nodes[i], tree.nodes[i].first + half.choice.chosen()[i]);
    }
  }
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

/// What is taken beyond what is there, by resource and day.
std::vector<double> Prices::excess() const {
  std::vector<double> out(there_.size());
  for (ResourceId r = 0; r < scale_.size(); ++r) {
    double taken = 0;
    for (Day day = first_; day < first_ + days_; ++day) {
      for (const Half& half : halves_) taken += half.taken[sum_place(r, day)];
      out[place(r, day)] = taken - there_[place(r, day)];
    }
  }
  return out;
}

/// Moves prices by up to `length`. False when there is nowhere to go.
bool Prices::step(const std::vector<double>& excess, double length, Ascent& ascent) {
  constexpr double keep_drift = 0.9, keep_spread = 0.99, least_spread = 1e-3;
  ascent.drift_left *= keep_drift;
  ascent.spread_left *= keep_spread;
  bool moves = false;
  for (std::size_t i = 0; i < prices_.size(); ++i) {
    const double way = prices_[i] <= 0 ? std::max(0.0, excess[i]) : excess[i];
    double& drift = ascent.drift[i];
    double& spread = ascent.spread[i];
    if (way == 0 && spread == 0) continue;
    moves = true;
    drift = keep_drift * drift + (1 - keep_drift) * way;
    spread = keep_spread * spread + (1 - keep_spread) * way * way;
    const double mean = drift / (1 - ascent.drift_left);
    const double measure = std::sqrt(spread / (1 - ascent.spread_left)) + least_spread;
    prices_[i] = std::max(0.0, prices_[i] + length * mean / measure);
  }
  return moves;
}

Cost Prices::raise(Cost reached, std::size_t choices, const std::function<double()>& used) {
  if (halves_.empty()) return 0;
  const std::size_t trees = halves_[0].trees.size() + halves_[1].trees.size();
  if (trees == 0) return 0;
  const std::size_t rounds = choices / trees;
  // Of a step at first: what the largest use pays for some of the days that a group is late by; of
  // prices that are near their best already, less.
  const double late = static_cast<double>(reached) / static_cast<double>(trees);
  const double longest = has_prices_ ? 0.3 * late : 3 * late;
  Ascent ascent;
  ascent.drift.assign(prices_.size(), 0);
  ascent.spread.assign(prices_.size(), 0);
  double best = 0;
  std::vector<double> best_prices = prices_;
  for (std::size_t round = 0; round < rounds; ++round) {
    const double bound = choose_all();
    if (bound > best) {
      best = bound;
      best_prices = prices_;
      has_prices_ = true;
    }
    const double done =
        std::max(used(), static_cast<double>(round + 1) / static_cast<double>(rounds));
    if (safe(best) > static_cast<double>(reached - 1) || done >= 1) break;
    if (!step(excess(), longest * (1 - done) * (1 - done), ascent)) break;
  }
  // Prices that prove nothing yet say all the same where it is crowded.
  if (best > 0) prices_ = best_prices;
  add_up_prices();
  return safe(best) <= 0 ? 0 : static_cast<Cost>(std::ceil(safe(best)));
}

/// What a use pays on each day by itself. False where it pays nothing on any of them.
bool Prices::look_beside(const PriceTake& take, Day first, Day end, const Beside& beside) {
  const auto count = static_cast<std::size_t>(std::max(0, end - first));
  on_day_.resize(count);
  const double scale = scale_[take.resource];
  const auto amount = static_cast<Amount>(std::llround(take.amount * scale));
  const double* crowd =
      beside.crowd == nullptr ? nullptr : beside.crowd->data() + place(take.resource, first);
  const bool priced = beside.priced && priced_[take.resource];
  const Amount* free = beside.profile->row(take.resource, first);
  const double* prices = prices_.data() + place(take.resource, first);
  bool any = priced;
  for (std::size_t i = 0; i < count; ++i) {
    on_day_[i] = priced ? take.amount * prices[i] : 0;
    if (free[i] >= amount) continue;
    any = true;
    on_day_[i] +=
        crowd != nullptr
            ? crowd[i] * static_cast<double>(amount - std::max<Amount>(0, free[i])) / scale
            : impossible;
  }
  return any;
}

void Prices::add_beside(const PriceTake& take, const PriceNode& node, const Beside& beside,
                        double* row) {
  if (node.count <= 0) return;
  const Day last = node.first + node.count - 1;
  if (take.side != PriceTake::Side::both) {
    const bool begins = take.side == PriceTake::Side::begin;
    const Day offset = begins ? take.from : take.to;
    add_side(take, node.first + offset, last + offset, begins ? -1 : 1, beside, row);
    return;
  }
  const Day length = take.to - take.from, first = node.first + take.from;
  const bool pays = look_beside(take, first, last + take.to + take.slack, beside);
  if (!pays) return;
  if (length > 1) add_up_lengths(length);
  const std::uint8_t* may_begin = nullptr;
  if (take.starts != nullptr) may_begin = tables_[take.table].may_begin.data() + (first - first_);
  for (Day x = 0; x < node.count; ++x) {
    double least = impossible;
    bool can = false;
    for (Day begin = x; begin <= x + take.slack; ++begin) {
      if (may_begin != nullptr && may_begin[begin] == 0) continue;
      can = true;
      least = std::min(least, on_day_[static_cast<std::size_t>(begin)]);
    }
    if (can) row[x] += least;
  }
}

/// What is paid on so many days from each day on.
void Prices::add_up_lengths(Day length) {
  const auto days = static_cast<std::size_t>(length);
  for (std::size_t i = 0; i + days <= on_day_.size(); ++i) {
    for (std::size_t j = 1; j < days; ++j) on_day_[i] += on_day_[i + j];
  }
}

/// Of a use whose ends move apart: both are told from the first day of all.
void Prices::add_side(const PriceTake& take, Day first, Day last, double sign, const Beside& beside,
                      double* row) {
  if (!look_beside(take, first_, std::max(first_, last), beside)) return;
  double paid = 0;
  std::size_t next = 0;
  for (Day day = first; day <= last; ++day, ++row) {
    for (; first_ + static_cast<Day>(next) < day; ++next) paid += on_day_[next];
    *row += sign * paid;
  }
}

void Prices::add_costs(const PriceNode& node, const Beside& beside, double* row) {
  for (Day x = 0; x < node.count; ++x) {
    Cost first = 0;
    for (const Term& term : node.terms) first += term.at(node.first + x);
    row[x] += first > beside.most ? impossible : static_cast<double>(first);
    for (const Term& term : node.others) {
      row[x] += aside * static_cast<double>(term.at(node.first + x));
    }
  }
  for (const PriceTake& take : node.takes) {
    const bool moves_apart = take.side != PriceTake::Side::both;
    if (moves_apart && !beside.priced && beside.crowd == nullptr) continue;
    add_beside(take, node, beside, row);
  }
}

std::vector<Day> Prices::days_for(GroupId group, const Beside& beside) {
  if (tree_of_.empty() || tree_of_[group].second == no_tree) return {};
  const PriceTree& tree = halves_[tree_of_[group].first].trees[tree_of_[group].second];
  const double cost =
      one_.choose(tree, [&](const PriceNode& node, double* row) { add_costs(node, beside, row); });
  if (cost == impossible) return {};
  std::vector<Day> out;
  for (std::size_t i = 0; i < tree.nodes.size(); ++i) {
    const PriceNode& node = tree.nodes[i];
    for (const PriceNode::Member& one : node.members) {
      out.resize(std::max<std::size_t>(out.size(), one.place + 1));
      out[one.place] = node.first + one.offset + one_.chosen()[i];
    }
  }
  return out;
}

}  // namespace budwood::levelling
