#include <algorithm>

#include "page/views/views.hpp"
#include "plan/orders/setting_orders.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/wording.hpp"

namespace budwood::page {

namespace {

/// More that was not noted than anybody looks through at a bench.
constexpr std::size_t most_earlier = 200;

bool is_open(const plan::WorkOrder& order) {
  return !order.settled();
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
Json cautions_of(const Json& orders) {
  Json out = Json::array();
  for (const Json& order : orders) {
    for (const Json& caution : order["cautions"]) {
      if (std::find(out.begin(), out.end(), caution) == out.end()) out.push_back(caution);
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
  Json earlier = Json::array();
  std::size_t earlier_count = 0;
  for (const plan::WorkOrder& order : plan.orders) {
    if (order.date > day) break;
    if (!passes(plan, order, filter)) continue;
    if (order.date == day) {
      orders.push_back(order_json(now, order));
    } else if (is_open(order) && order.part == 0) {
      ++earlier_count;
      if (earlier_count <= most_earlier) earlier.push_back(order_json(now, order));
    }
  }
  Json settings = Json::array();
  for (const plan::SettingOrder& order : plan::setting_orders(plan)) {
    if (order.date == day && passes(plan, order, filter)) {
      settings.push_back(setting_json(order, plan));
    }
  }
  Json out = {{"day", calendar::iso_date(day)},
              {"week", calendar::iso_week_text(day)},
              {"weekday", calendar::long_name(calendar::weekday(day))},
              {"cautions", cautions_of(orders)},
              {"orders", std::move(orders)},
              {"settings", std::move(settings)},
              {"earlier", std::move(earlier)},
              {"earlier_count", earlier_count}};
  add_neighbours(plan, filter, day, out);
  return out;
}

}  // namespace budwood::page
