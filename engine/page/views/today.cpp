#include <algorithm>

#include "page/views/views.hpp"
#include "plan/orders/setting_orders.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/wording.hpp"

namespace budwood::page {

namespace {

/// More that was not noted than anybody looks through at a bench.
constexpr std::size_t most_overdue = 200;
constexpr std::size_t most_quiet = 50;

/// The last of some orders, which are by date.
void add_last(const Snapshot& now, const std::vector<const plan::WorkOrder*>& orders,
              std::size_t most, Json& out) {
  for (std::size_t i = orders.size() - std::min(most, orders.size()); i < orders.size(); ++i) {
    out.push_back(order_json(now, *orders[i]));
  }
}

/// The nearest days with work before and after a day.
void add_neighbours(const plan::Plan& plan, const report::Filter& filter, calendar::Day day,
                    Json& out) {
  std::optional<calendar::Day> before;
  std::optional<calendar::Day> after;
  for (const plan::WorkOrder& order : plan.orders) {  // by date
    if (order.date == day || !passes(plan, order, filter)) continue;
    if (order.date < day) before = order.date;
    if (order.date > day) {
      after = order.date;
      break;
    }
  }
  out["before"] = before ? Json(calendar::iso_date(*before)) : Json(nullptr);
  out["after"] = after ? Json(calendar::iso_date(*after)) : Json(nullptr);
}

/// The usual cautions of the orders of a day, each once.
Json cautions_of(const Json& orders, const Json& makings) {
  Json out = Json::array();
  for (const Json* all : {&makings, &orders}) {
    for (const Json& order : *all) {
      for (const Json& caution : order["cautions"]) {
        if (std::find(out.begin(), out.end(), caution) == out.end()) out.push_back(caution);
      }
    }
  }
  return out;
}

}  // namespace

Json today_view(const Snapshot& now, const Question& question) {
  const plan::Plan& plan = now.plan;
  const calendar::Day day = question.day("day").value_or(record::day_now());
  report::Filter filter;
  if (!question["room"].empty()) filter.room = question["room"];
  if (!question["crew"].empty()) filter.crew = question["crew"];
  Json orders = Json::array();
  std::vector<const plan::WorkOrder*> overdue;
  std::vector<const plan::WorkOrder*> quiet;  // nobody has to know whether they were done
  for (const plan::WorkOrder& order : plan.orders) {
    if (order.date > day) break;
    if (!passes(plan, order, filter)) continue;
    if (order.date == day) {
      orders.push_back(order_json(now, order));
    } else if (!order.settled() && order.part == 0) {
      (order.state == plan::OrderState::overdue ? overdue : quiet).push_back(&order);
    }
  }
  Json earlier = Json::array();
  add_last(now, overdue, most_overdue, earlier);
  add_last(now, quiet, most_quiet, earlier);
  Json settings = Json::array();
  for (const plan::SettingOrder& order : plan::setting_orders(plan)) {
    if (order.date == day && passes(plan, order, filter)) {
      settings.push_back(setting_json(order, plan));
    }
  }
  Json makings = Json::array();
  for (const plan::Making& making : plan.makings) {
    if (making.date == day && passes(plan, making, filter)) {
      makings.push_back(making_json(plan::describe(plan, making)));
    }
  }
  Json out = {{"day", calendar::iso_date(day)},
              {"week", calendar::iso_week_text(day)},
              {"weekday", calendar::long_name(calendar::weekday(day))},
              {"cautions", cautions_of(orders, makings)},
              {"orders", std::move(orders)},
              {"settings", std::move(settings)},
              {"makings", std::move(makings)},
              {"earlier", std::move(earlier)},
              {"overdue_count", overdue.size()},
              {"quiet_count", quiet.size()}};
  add_neighbours(plan, filter, day, out);
  return out;
}

}  // namespace budwood::page
