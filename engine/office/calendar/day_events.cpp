#include "office/calendar/day_events.hpp"

#include <map>

#include "office/calendar/event_texts.hpp"
#include "office/calendar/identity.hpp"

namespace budwood::office {

namespace {

using report::SelectedOrder;

/// Collects the events of a plan that somebody wants to know of.
class Collector {
 public:
  Collector(const plan::Plan& plan, const report::Filter& filter, const Events& before)
      : plan_(plan), filter_(filter), before_(before), identity_(plan.book->site.name.value) {}

  PresentEvents by_order(const std::vector<SelectedOrder>& orders) {
    for (const SelectedOrder& one : orders) {
      if (one.making != nullptr) {
        add_making(*one.making);
      } else if (one.work != nullptr) {
        const bool passes = report::passes(plan_, *one.work, filter_);
        const std::string uid = identity_.of("order", plan::order_id(plan_, *one.work));
        if (wants(uid, passes)) {
          add(uid, passes, event_of(plan::describe(plan_, *one.work)));
        }
      } else {
        const bool passes = report::passes(plan_, *one.setting, filter_);
        const plan::SettingDetail order = plan::describe(plan_, *one.setting);
        const std::string uid = identity_.of("order", order.id);
        if (wants(uid, passes)) add(uid, passes, event_of(order));
      }
    }
    return std::move(out_);
  }

  /// `day` holds the orders of one day.
  void add_day(std::span<const SelectedOrder> day) {
    std::map<std::string, std::vector<const plan::WorkOrder*>> crews;
    std::vector<const plan::SettingOrder*> settings;
    for (const SelectedOrder& one : day) {
      if (one.making != nullptr) {
        add_making(*one.making);
      } else if (one.work == nullptr) {
        settings.push_back(one.setting);
      } else {
        crews[crew_of(*one.work)].push_back(one.work);
      }
    }
    const std::string date = calendar::iso_date(day.front().date());
    if (!settings.empty())
      add_group("settings", date, settings, [](auto orders) { return event_of(orders); });
    for (const auto& [crew, orders] : crews) {
      add_group("crew", date + " " + crew, orders,
                [&name = crew](auto details) { return event_of(name, details); });
    }
  }

  PresentEvents by_crew(const std::vector<SelectedOrder>& orders) {
    for (std::size_t first = 0; first < orders.size();) {
      std::size_t end = first;
      while (end < orders.size() && orders[end].date() == orders[first].date()) ++end;
      add_day(std::span(orders).subspan(first, end - first));
      first = end;
    }
    return std::move(out_);
  }

 private:
  const std::string& crew_of(const plan::WorkOrder& order) const {
    return plan::crew_of(plan_, order);
  }

  /// Something that is made is an event of its own: it is of no batch.
  void add_making(const plan::Making& making) {
    const bool passes = report::passes(plan_, making, filter_);
    const std::string uid = identity_.of("order", plan::making_id(plan_, making));
    if (wants(uid, passes)) add(uid, passes, event_of(plan::describe(plan_, making)));
  }

  bool wants(const std::string& uid, bool passes) const { return passes || before_.contains(uid); }

  void add(const std::string& uid, bool passes, Event event) {
    event.uid = uid;
    out_.events.push_back(std::move(event));
    out_.found += passes ? 1 : 0;
  }

  /// Orders of one day and one crew pass the filter together: it names no batch and no room.
  template <class Order, class Make>
  void add_group(std::string_view kind, const std::string& name,
                 const std::vector<const Order*>& orders, Make make) {
    const std::string uid = identity_.of(kind, name);
    const bool passes = report::passes(plan_, *orders.front(), filter_);
    if (!wants(uid, passes)) return;
    using Detail = decltype(plan::describe(plan_, *orders.front()));
    std::vector<Detail> details;
    for (const Order* order : orders) details.push_back(plan::describe(plan_, *order));
    add(uid, passes, make(std::span<const Detail>(details)));
  }

  const plan::Plan& plan_;
  const report::Filter& filter_;
  const Events& before_;
  Identity identity_;
  PresentEvents out_;
};

}  // namespace

PresentEvents events_of(const plan::Plan& plan, const report::Filter& filter, EventOf event,
                        const Events& before) {
  // What was told before may lie outside of the filter now, so that all orders are looked at.
  const report::Selection all =
      report::select_all(plan, before.empty() ? filter : report::Filter{});
  const std::vector<SelectedOrder> orders = report::in_order(plan, all);
  Collector collector(plan, filter, before);
  return event == EventOf::order ? collector.by_order(orders) : collector.by_crew(orders);
}

}  // namespace budwood::office
