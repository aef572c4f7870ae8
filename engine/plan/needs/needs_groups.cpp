#include <algorithm>
#include <map>

#include "plan/needs/needs.hpp"
#include "plan/needs/stock.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

/// Groups by key, made when they are first asked for.
class Groups {
 public:
  Groups(const Plan& plan, Grouping grouping) : plan_(plan), grouping_(grouping) {}

  NeedsGroup& of(std::uint32_t order, calendar::Day day) {
    NeedsGroup group;
    group.batch = plan_.orders[order].batch;
    group.first = day;
    if (grouping_ == Grouping::week) {
      group.first -= static_cast<calendar::Day>(calendar::weekday(day));
    }
    const auto key = grouping_ == Grouping::batch ? static_cast<std::int64_t>(group.batch)
                                                  : static_cast<std::int64_t>(group.first);
    if (last_ == nullptr || key != last_key_) {
      last_ = &groups_.try_emplace(key, std::move(group)).first->second;
      last_key_ = key;
    }
    return *last_;
  }

  std::vector<NeedsGroup> take() {
    std::vector<NeedsGroup> all;
    for (auto& [key, group] : groups_) all.push_back(std::move(group));
    return all;
  }

 private:
  const Plan& plan_;
  Grouping grouping_;
  std::map<std::int64_t, NeedsGroup> groups_;
  NeedsGroup* last_ = nullptr;
  std::int64_t last_key_ = 0;
};

/// Things are added one after the other, so what belongs to `index` is the last or not there yet.
void add(std::vector<GroupShare>& shares, std::uint32_t index, double amount) {
  if (shares.empty() || shares.back().index != index) shares.push_back({index, 0});
  shares.back().amount += amount;
}

/// The most that each batch has out at once.
void add_peaks(const Plan& plan, const SupplyNeed& need, std::uint32_t index, Groups& groups) {
  std::map<std::uint32_t, std::vector<Taking>> by_batch;
  for (const Taking& taking : need.takings) {
    by_batch[plan.orders[taking.order].batch].push_back(taking);
  }
  for (const auto& [batch, takings] : by_batch) {
    const std::vector<double> held = held_after(takings, true);
    const double most = *std::max_element(held.begin(), held.end());
    add(groups.of(takings.front().order, takings.front().day).supplies, index, most);
  }
}

}  // namespace

std::vector<NeedsGroup> group_needs(const Plan& plan, const Needs& needs, Grouping grouping) {
  Groups groups(plan, grouping);
  for (std::uint32_t i = 0; i < needs.supplies.size(); ++i) {
    const SupplyNeed& need = needs.supplies[i];
    if (need.reused && grouping == Grouping::batch) {
      add_peaks(plan, need, i, groups);
      continue;
    }
    for (const Taking& taking : need.takings) {
      add(groups.of(taking.order, taking.day).supplies, i, taking.amount);
    }
  }
  for (std::uint32_t i = 0; i < needs.crews.size(); ++i) {
    for (const Labour& labour : needs.crews[i].labour) {
      add(groups.of(labour.order, labour.day).crews, i, labour.seconds);
    }
  }
  return groups.take();
}

}  // namespace budwood::plan
