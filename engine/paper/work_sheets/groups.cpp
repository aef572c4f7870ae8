#include "paper/work_sheets/groups.hpp"

#include <algorithm>
#include <map>
#include <span>
#include <tuple>

namespace budwood::paper {

namespace {

using report::SelectedOrder;

constexpr int days_a_week = 7;

/// Groups come in the order of this; what names nothing comes last.
using Key = std::tuple<bool, long, std::string>;

Key key_of(std::string name) {
  const bool nameless = name.empty();
  return {nameless, 0, std::move(name)};
}

/// Where it is done; "" of what is made.
std::string room_of(const plan::Plan& plan, const SelectedOrder& order) {
  if (order.making != nullptr) return "";
  return plan.protocol_of(plan.batches[batch_of(plan, order)]).stages[stage_of(order)].room;
}

calendar::Day monday_of(calendar::Day day) {
  return day - static_cast<calendar::Day>(calendar::weekday(day));
}

std::string crew_of(const plan::Plan& plan, const SelectedOrder& order) {
  if (order.making != nullptr) return plan.recipes[order.making->recipe].recipe->crew;
  if (order.work == nullptr) return "";
  return plan.protocol_of(plan.batches[order.work->batch])
      .stages[order.work->stage]
      .works[order.work->work]
      .crew;
}

Key key_of(const plan::Plan& plan, const SelectedOrder& order, Grouping by) {
  switch (by) {
    case Grouping::day:
      return {false, order.date(), ""};
    case Grouping::week:
      return {false, monday_of(order.date()), ""};
    case Grouping::crew:
      return key_of(crew_of(plan, order));
    case Grouping::room:
      return key_of(room_of(plan, order));
    case Grouping::batch:
      break;
  }
  return {false, static_cast<long>(batch_of(plan, order)), ""};
}

/// The group of an order, without any orders.
Group titled(const plan::Plan& plan, const SelectedOrder& order, Grouping by) {
  Group out;
  switch (by) {
    case Grouping::day:
      out.title = day_title(order.date());
      out.small = calendar::iso_week_text(order.date());
      out.one_day = out.says_days = true;
      break;
    case Grouping::week: {
      const calendar::Day monday = monday_of(order.date());
      out.title = "Week " + calendar::iso_week_text(monday);
      out.small =
          calendar::iso_date(monday) + " to " + calendar::iso_date(monday + days_a_week - 1);
      out.says_days = true;
      break;
    }
    case Grouping::crew: {
      const std::string crew = crew_of(plan, order);
      out.title = crew.empty() ? "Work for anyone, and settings" : "Crew " + crew;
      break;
    }
    case Grouping::room: {
      const std::string room = room_of(plan, order);
      out.title = room.empty() ? "Work in no room" : "Room " + room;
      break;
    }
    case Grouping::batch: {
      const book::Batch& facts = plan.facts_of(plan.batches[batch_of(plan, order)]);
      out.title = "Batch " + facts.id.value;
      out.small = facts.cultivar;
      out.batch = batch_of(plan, order);
      break;
    }
  }
  return out;
}

}  // namespace

std::size_t batch_of(const plan::Plan& plan, const SelectedOrder& order) {
  if (order.making != nullptr) return plan.orders[order.making->uses.front().order].batch;
  return order.work != nullptr ? order.work->batch : order.setting->lead.batch;
}

std::size_t stage_of(const SelectedOrder& order) {
  return order.work != nullptr ? order.work->stage : order.setting->lead.stage;
}

std::string day_title(calendar::Day day) {
  return std::string(calendar::long_name(calendar::weekday(day))) + " " + calendar::iso_date(day);
}

std::vector<Group> groups_of(const plan::Plan& plan, std::vector<SelectedOrder> orders,
                             Grouping by) {
  for (auto first = orders.begin(); first != orders.end();) {
    const auto end = std::find_if(
        first, orders.end(), [&](const SelectedOrder& one) { return one.date() != first->date(); });
    report::closing_last(plan, std::span(first, end));
    first = end;
  }
  std::map<Key, Group> groups;
  for (const SelectedOrder& order : orders) {
    const auto [place, is_new] = groups.try_emplace(key_of(plan, order, by));
    if (is_new) place->second = titled(plan, order, by);
    place->second.orders.push_back(order);
  }
  std::vector<Group> out;
  for (auto& [key, group] : groups) out.push_back(std::move(group));
  return out;
}

}  // namespace budwood::paper
