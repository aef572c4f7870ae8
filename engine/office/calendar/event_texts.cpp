#include "office/calendar/event_texts.hpp"

#include <set>

#include "office/calendar/plain_text.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "report/orders/order_words.hpp"

namespace budwood::office {

namespace {

/// In the place of a crew: what is set, and not done.
constexpr const char* climate = "climate";

std::string in_lines(const std::vector<std::string>& lines) {
  return report::joined(lines, "\n");
}

void add_line(std::vector<std::string>& lines, const std::string& label, const std::string& text) {
  if (!text.empty()) lines.push_back(label + ": " + text);
}

/// "702 plants, 2.0 h, 2 people, crew propagation".
std::string amount_of_work(const plan::OrderDetail& order) {
  std::vector<std::string> pieces{report::plants_text(order.plants, order.cards)};
  if (std::string time = report::time_text(order.person_seconds); !time.empty()) {
    pieces.push_back(std::move(time));
  }
  if (order.people > 0) {
    pieces.push_back(units::format_number(order.people) +
                     (order.people == 1 ? " person" : " people"));
  }
  if (!order.crew.empty()) pieces.push_back("crew " + order.crew);
  return report::joined(pieces, ", ");
}

std::string whole_id(const std::string& id, const std::string& cultivar) {
  return "Order " + id + (cultivar.empty() ? "" : ", " + cultivar);
}

std::vector<std::string> lines_of(const plan::OrderDetail& order) {
  std::vector<std::string> lines;
  if (order.state != plan::OrderState::open)
    add_line(lines, "State", std::string(plan::word(order.state)));
  add_line(lines, "When", order.hours);
  lines.push_back(amount_of_work(order));
  for (const plan::SupplyAmount& use : order.supplies) {
    add_line(lines, "Use", report::supply_text(use));
  }
  add_line(lines, "Tools", report::joined(order.tools, "; "));
  add_line(lines, "Keep", report::settings_text(order.settings));
  for (const std::string& caution : order.cautions) add_line(lines, "Caution", caution);
  add_line(lines, "Record", report::joined(order.records, "; "));
  for (const std::string& note : order.notes) add_line(lines, "Note", note);
  lines.push_back(whole_id(order.id, order.cultivar));
  return lines;
}

std::vector<std::string> lines_of(const plan::MakingDetail& making) {
  std::vector<std::string> lines;
  add_line(lines, "Work", report::time_text(making.person_seconds));
  for (const plan::SupplyAmount& use : making.supplies) {
    add_line(lines, "Use", report::supply_text(use));
  }
  for (const std::string& use : making.uses) lines.push_back(use);
  add_line(lines, "Tools", report::joined(making.tools, "; "));
  for (const std::string& caution : making.cautions) add_line(lines, "Caution", caution);
  for (const std::string& note : making.notes) add_line(lines, "Note", note);
  lines.push_back("Order " + report::made_where(making));
  return lines;
}

std::vector<std::string> lines_of(const plan::SettingDetail& order) {
  const std::string whom = report::whom_text(order);
  std::vector<std::string> lines{"Set: " + report::changes_text(order)};
  add_line(lines, "For", whom);
  lines.push_back(whole_id(order.id, ""));
  return lines;
}

std::string title_of(const plan::OrderDetail& order) {
  return order.batch + ": " + order.title;
}
std::string title_of(const plan::SettingDetail& order) {
  return report::place_text(order) + ": set " + report::settings_text(order.changes);
}

Event written(calendar::Day date, const std::string& summary, const std::string& location,
              const std::string& description, const std::string& category) {
  Event out;
  out.date = date;
  out.summary = calendar_text_of(summary);
  out.location = calendar_text_of(location);
  out.description = calendar_text_of(description);
  out.category = calendar_text_of(category);
  return out;
}

/// A day's orders in one event; what each of them tells is set off by an empty line.
template <class Detail>
Event day_event(std::span<const Detail> orders, const std::string& summary,
                const std::string& category) {
  std::set<std::string> rooms;
  std::string description;
  for (const Detail& order : orders) {
    if (!order.room.empty()) rooms.insert(order.room);
    if (!description.empty()) description += "\n\n";
    description += title_of(order) + (order.room.empty() ? "" : ", room " + order.room) + "\n" +
                   in_lines(lines_of(order));
  }
  return written(orders.front().date, summary, report::joined({rooms.begin(), rooms.end()}, ", "),
                 description, category);
}

}  // namespace

std::string calendar_text_of(std::string_view text) {
  const std::string out = printable_lines(text);
  const std::size_t first = out.find_first_not_of(" \n");
  if (first == std::string::npos) return "";
  return out.substr(first, out.find_last_not_of(" \n") - first + 1);
}

Event event_of(const plan::OrderDetail& order) {
  return written(order.date, title_of(order), order.room, in_lines(lines_of(order)), order.crew);
}

Event event_of(const plan::SettingDetail& order) {
  return written(order.date, title_of(order), order.room, in_lines(lines_of(order)), climate);
}

Event event_of(const plan::MakingDetail& making) {
  return written(making.date, making.title, "", in_lines(lines_of(making)), making.crew);
}

Event event_of(const std::string& crew, std::span<const plan::OrderDetail> orders) {
  double seconds = 0;
  for (const plan::OrderDetail& order : orders) seconds += order.person_seconds;
  const std::string time = report::time_text(seconds);
  return day_event(orders,
                   report::shown_crew(crew) + ": " + report::counted(orders.size(), "order") +
                       (time.empty() ? "" : ", " + time),
                   crew);
}

Event event_of(std::span<const plan::SettingDetail> orders) {
  return day_event(orders, std::string(climate) + ": " + report::counted(orders.size(), "change"),
                   climate);
}

}  // namespace budwood::office
