#include "levelling/rules/orders.hpp"

#include <algorithm>
#include <array>

namespace budwood::levelling {

namespace {

constexpr std::size_t most_dates = 700;
constexpr std::size_t most_orders = 40'000;
constexpr Value unbound = -(1 << 28);

/// The longest paths over lags: later >= earlier + distance.
class Distances {
 public:
  explicit Distances(const Model& model)
      : count_(model.date_count), days_(count_ * count_, unbound) {
    for (std::size_t i = 0; i < count_; ++i) at(i, i) = 0;
    for (const Lagged& lag : model.lags) {
      if (lag.earlier == lag.later) {
        possible_ = possible_ && lag.days <= 0;
      } else {
        at(lag.earlier, lag.later) = std::max(at(lag.earlier, lag.later), lag.days);
      }
    }
    for (std::size_t k = 0; k < count_; ++k) {
      for (std::size_t i = 0; i < count_; ++i) {
        if (at(i, k) != unbound) relax(i, k, at(i, k));
      }
    }
    for (std::size_t i = 0; i < count_; ++i) possible_ = possible_ && at(i, i) <= 0;
  }

  bool possible() const { return possible_; }
  Value operator()(VariableId earlier, VariableId later) const {
    return days_[earlier * count_ + later];
  }
  /// One more lag, which closes no cycle that is too long. O(n^2).
  void add(VariableId earlier, VariableId later, Value days) {
    if (at(earlier, later) >= days) return;
    for (std::size_t i = 0; i < count_; ++i) {
      if (at(i, earlier) != unbound) relax(i, later, at(i, earlier) + days);
    }
  }

 private:
  Value& at(std::size_t i, std::size_t j) { return days_[i * count_ + j]; }
  void relax(std::size_t i, std::size_t over, Value days) {
    Value* const row = days_.data() + i * count_;
    const Value* const next = days_.data() + over * count_;
    for (std::size_t j = 0; j < count_; ++j) {
      if (next[j] != unbound) row[j] = std::max(row[j], days + next[j]);
    }
  }

  std::size_t count_;
  std::vector<Value> days_;
  bool possible_ = true;
};

/// first.end <= second.begin, as a lag between two variables.
struct Order {
  VariableId earlier = 0;
  VariableId later = 0;
  Value days = 0;
};

Order order_of(const Demand& first, const Demand& second) {
  return {first.to, second.from, first.to_offset - second.from_offset};
}

bool implied(const Model& model, const Distances& distance, const Order& order) {
  if (distance(order.earlier, order.later) >= order.days) return true;
  return model.variables[order.later].low >= model.variables[order.earlier].high + order.days;
}

bool impossible(const Model& model, const Distances& distance, const Order& order) {
  const Value back = distance(order.later, order.earlier);
  if (back != unbound && back + order.days > 0) return true;
  return model.variables[order.later].high < model.variables[order.earlier].low + order.days;
}

bool lasts(const Distances& distance, const Demand& demand) {
  const Value between = distance(demand.from, demand.to);
  return between != unbound && between + demand.to_offset - demand.from_offset > 0;
}

struct Pair {
  Order forth, back;
};

std::vector<Pair> exclusive_pairs(const Model& model, const Distances& distance) {
  std::vector<Amount> most;
  for (const FreeDays& free : model.free) {
    const auto largest = std::max_element(free.amounts.begin(), free.amounts.end());
    most.push_back(largest == free.amounts.end() ? 0 : *largest);
  }
  std::vector<const Demand*> lasting;
  for (const Demand& demand : model.demands) {
    if (demand.missed == nullptr && lasts(distance, demand)) lasting.push_back(&demand);
  }
  std::vector<Pair> pairs;
  for (std::size_t i = 0; i < lasting.size(); ++i) {
    for (std::size_t j = i + 1; j < lasting.size(); ++j) {
      const Demand& a = *lasting[i];
      const Demand& b = *lasting[j];
      if (a.resource != b.resource || a.amount + b.amount <= most[a.resource]) continue;
      pairs.push_back({order_of(a, b), order_of(b, a)});
    }
  }
  return pairs;
}

/// Turns pairs of which one order is impossible into lags; drops those that are decided.
bool decide_pairs(Model& model, Distances& distance, std::vector<Pair>& pairs) {
  for (bool again = true; again;) {
    again = false;
    std::vector<Pair> open;
    for (const Pair& pair : pairs) {
      if (implied(model, distance, pair.forth) || implied(model, distance, pair.back)) continue;
      const bool no_forth = impossible(model, distance, pair.forth);
      const bool no_back = impossible(model, distance, pair.back);
      if (no_forth && no_back) return false;
      if (!no_forth && !no_back) {
        open.push_back(pair);
        continue;
      }
      const Order& only = no_forth ? pair.back : pair.forth;
      distance.add(only.earlier, only.later, only.days);
      model.lags.push_back({only.earlier, only.later, only.days, {}});
      again = true;
    }
    pairs = std::move(open);
  }
  return true;
}

/// The same two activities often meet on several resources.
void drop_repeats(std::vector<Pair>& pairs) {
  const auto key = [](const Pair& p) {
    return std::array{
        static_cast<std::int64_t>(p.forth.earlier), static_cast<std::int64_t>(p.forth.later),
        static_cast<std::int64_t>(p.forth.days),    static_cast<std::int64_t>(p.back.earlier),
        static_cast<std::int64_t>(p.back.later),    static_cast<std::int64_t>(p.back.days)};
  };
  std::sort(pairs.begin(), pairs.end(),
            [&](const Pair& a, const Pair& b) { return key(a) < key(b); });
  pairs.erase(std::unique(pairs.begin(), pairs.end(),
                          [&](const Pair& a, const Pair& b) { return key(a) == key(b); }),
              pairs.end());
}

}  // namespace

void add_orders(Model& model) {
  if (model.date_count > most_dates) return;
  Distances distance(model);
  if (!distance.possible()) {
    model.possible = false;
    return;
  }
  std::vector<Pair> pairs = exclusive_pairs(model, distance);
  drop_repeats(pairs);
  if (!decide_pairs(model, distance, pairs)) {
    model.possible = false;
    return;
  }
  if (pairs.size() > most_orders) return;
  for (const Pair& pair : pairs) {
    const auto first = static_cast<VariableId>(model.variables.size());
    model.variables.push_back({0, 1, nullptr});
    model.lags.push_back(
        {pair.forth.earlier, pair.forth.later, pair.forth.days, at_least(first, 1)});
    model.lags.push_back({pair.back.earlier, pair.back.later, pair.back.days, at_most(first, 0)});
  }
}

}  // namespace budwood::levelling
