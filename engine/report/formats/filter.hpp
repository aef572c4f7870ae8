#pragma once

#include <optional>
#include <span>
#include <string>
#include <unordered_set>
#include <vector>

#include "plan/orders/order.hpp"
#include "plan/orders/setting_changes.hpp"
#include "plan/orders/setting_orders.hpp"
#include "plan/plan.hpp"

namespace budwood::report {

/// Which work orders to show; what is not set lets all through.
struct Filter {
  std::optional<std::string> batch;  ///< its id
  std::optional<std::string> room;
  std::optional<std::string> crew;
  std::optional<calendar::Day> from;
  std::optional<calendar::Day> to;  ///< included
  bool history = false;  ///< batches that are over too; one that is named always is shown

  /// Whether it holds back orders of a batch that it lets through.
  bool narrows_orders() const { return room || crew || from || to; }
};

bool passes(const plan::Plan& plan, const plan::BatchPlan& batch, const Filter& filter);
/// The same for what is said of a batch, by its id; "" is of none, and of the whole plan.
class Concerned {
 public:
  Concerned(const plan::Plan& plan, const Filter& filter);
  bool operator()(const std::string& batch) const;
  bool operator()(const plan::Conflict& conflict) const;

 private:
  const Filter& filter_;
  std::unordered_set<std::string> hidden_;
};
bool passes(const plan::Plan& plan, const plan::WorkOrder& order, const Filter& filter);
/// Setting orders are for no crew; one passes when any of the batches that it is for does.
bool passes(const plan::Plan& plan, const plan::SettingOrder& order, const Filter& filter);
bool passes(const plan::Plan& plan, const plan::SettingChange& change, const Filter& filter);
/// What is made is made in no room; it passes when any of the batches that use of it does.
bool passes(const plan::Plan& plan, const plan::Making& making, const Filter& filter);

/// The places in Plan::orders of those that pass, in their order.
std::vector<std::size_t> select(const plan::Plan& plan, const Filter& filter);
/// Those of them of which nothing is noted yet.
std::vector<std::size_t> select_unsettled(const plan::Plan& plan, const Filter& filter);

/// What is written of a plan.
struct Selection {
  std::vector<std::size_t> orders;  ///< places in Plan::orders, ascending
  std::vector<plan::SettingOrder> settings;
  std::vector<std::size_t> makings;  ///< places in Plan::makings, ascending

  std::size_t size() const { return orders.size() + settings.size() + makings.size(); }
};
Selection select_all(const plan::Plan& plan, const Filter& filter);

/// One of them: a work order, a setting order, or one to make something.
struct SelectedOrder {
  const plan::WorkOrder* work = nullptr;
  const plan::SettingOrder* setting = nullptr;
  const plan::Making* making = nullptr;

  calendar::Day date() const {
    if (making != nullptr) return making->date;
    return work != nullptr ? work->date : setting->date;
  }
};
/// All by date, batch and stage; what is made comes first on its day, what is set before the work
/// of its stage. They point into the plan and the selection.
std::vector<SelectedOrder> in_order(const plan::Plan& plan, const Selection& selection);
/// Puts work after which nobody may enter its room at the end of the orders of a day.
void closing_last(const plan::Plan& plan, std::span<SelectedOrder> day);

/// A name in a filter that stands nowhere in the book or its protocols, in words, with what may
/// have been meant; "" when there is none.
std::string unknown_name(const plan::Plan& plan, const Filter& filter);

}  // namespace budwood::report
