#include "plan/level/levelled_dates.hpp"

#include <algorithm>

namespace budwood::plan {

std::optional<sheet::BatchFacts> levelled_facts(const book::Batch& batch, const sheet::Template& t,
                                                sheet::BatchFacts facts) {
  for (const book::Pin& date : batch.levelled->dates) {
    sheet::Pin pin;
    pin.stage = t.protocol.stages.find(date.stage);
    if (!pin.stage.known()) return std::nullopt;
    pin.end = date.side == book::Pin::Side::end;
    pin.day = date.day;
    pin.span = date.span;
    pin.levelled = true;
    const bool fixed = std::any_of(facts.pins.begin(), facts.pins.end(), [&](const auto& other) {
      return other.stage == pin.stage && other.end == pin.end;
    });
    if (fixed) continue;
    facts.pins.push_back(pin);
  }
  // Levelling may have moved the start within what `early` and `late` allow.
  if (const auto first = facts.first_day()) {
    facts.start.reset();
    facts.not_before = first;
    for (const sheet::Pin& pin : facts.pins) {
      if (pin.levelled) facts.not_before = std::min(*facts.not_before, pin.day);
    }
  }
  if (facts.ready) facts.ready = batch.levelled->ready;
  return facts;
}

namespace {

/// Whether an order is that one, or one of that work or stage: "grafting/2/1" is within "grafting".
bool is_within(const std::string& order, const std::string& place) {
  return order == place || order.starts_with(place + "/") || order.starts_with(place + ".");
}

}  // namespace

OrderDays::OrderDays(const book::Batch& batch, bool levelled) {
  for (const book::OrderDay& order : batch.done) days_[order.order] = {&order, true, false};
  for (const book::OrderDay& order : batch.left_out) left_out_.push_back({&order, false});
  if (!levelled) return;
  for (const book::OrderDay& order : batch.levelled->orders) {
    days_.try_emplace(order.order, Fixed{&order, false, false});
  }
}

void OrderDays::apply(const std::string& name, WorkOrder& order) {
  for (LeftOut& one : left_out_) {
    if (!is_within(name, one.what->order)) continue;
    one.used = true;
    order.state = OrderState::left_out;
  }
  const auto found = days_.find(name);
  if (found == days_.end()) return;
  found->second.used = true;
  order.date = found->second.order->day;
  if (found->second.done) order.state = OrderState::done;
}

std::vector<OrderDays::Unknown> OrderDays::unknown() const {
  std::vector<Unknown> out;
  for (const auto& [name, fixed] : days_) {
    if (fixed.done && !fixed.used) out.push_back({fixed.order, true});
  }
  for (const LeftOut& one : left_out_) {
    if (!one.used) out.push_back({one.what, false});
  }
  return out;
}

}  // namespace budwood::plan
