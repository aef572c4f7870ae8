#include <algorithm>
#include <set>

#include "language/check/hazard.hpp"
#include "paper/paper.hpp"
#include "paper/work_sheets/batch_head.hpp"
#include "paper/work_sheets/groups.hpp"
#include "paper/work_sheets/order_card.hpp"
#include "report/formats/wording.hpp"
#include "report/orders/order_words.hpp"
#include "report/report.hpp"

namespace budwood::paper {

namespace {

using report::SelectedOrder;

/// "2027-03-12 to 2027-05-14", of what is shown.
std::string days_text(const std::vector<SelectedOrder>& orders) {
  const std::string first = calendar::iso_date(orders.front().date());
  const std::string last = calendar::iso_date(orders.back().date());
  return first == last ? first : first + " to " + last;
}

/// The editions by which the batches of some orders are raised, each once: a protocol may have two
/// sheets.
std::string editions_text(const plan::Plan& plan, const std::vector<SelectedOrder>& orders) {
  std::set<std::size_t> sheets;
  for (const SelectedOrder& order : orders)
    sheets.insert(plan.batches[batch_of(plan, order)].sheet);
  std::vector<std::string> out;
  for (const std::size_t sheet : sheets) {
    const std::string text = report::protocol_text(plan.sheets[sheet].layout().protocol);
    if (std::find(out.begin(), out.end(), text) == out.end()) out.push_back(text);
  }
  return report::joined(out, "; ");
}

/// Whether an order belongs on paper: days that are over are history, unless they are asked for;
/// what should have been done then and still can be is not.
bool is_wanted(const plan::Plan& plan, const report::Filter& filter, const SelectedOrder& one) {
  if (!plan.book->today || filter.from || one.date() >= *plan.book->today) return true;
  return one.work != nullptr && one.work->state == plan::OrderState::overdue &&
         !plan::is_missed(plan, *one.work);
}

/// "4 work orders, 3.2 h of people's time; 5 changes of settings".
std::string count_text(const plan::Plan& plan, const std::vector<SelectedOrder>& orders) {
  std::size_t works = 0;
  std::size_t makings = 0;
  double seconds = 0;
  for (const SelectedOrder& order : orders) {
    if (order.making != nullptr) {
      ++makings;
      seconds += order.making->seconds;
    }
    if (order.work == nullptr) continue;
    ++works;
    const double time = plan::person_seconds(plan, *order.work);
    if (time > 0) seconds += time;
  }
  std::vector<std::string> out;
  if (works + makings > 0) {
    const std::string time = report::time_text(seconds);
    out.push_back(report::works_text(works, makings) +
                  (time.empty() ? "" : ", " + time + " of people's time"));
  }
  if (orders.size() > works + makings) {
    out.push_back(report::counted(orders.size() - works - makings, "change") + " of settings");
  }
  return report::joined(out, "; ");
}

/// Batches of some orders that have a part in a conflict of the plan.
std::vector<std::string> in_conflict(const plan::Plan& plan,
                                     const std::vector<SelectedOrder>& orders) {
  std::set<std::size_t> batches;
  for (const SelectedOrder& order : orders) batches.insert(batch_of(plan, order));
  std::vector<std::string> out;
  for (const std::size_t batch : batches) {
    const std::string& id = plan.facts_of(plan.batches[batch]).id.value;
    const bool concerned =
        std::any_of(plan.conflicts.begin(), plan.conflicts.end(),
                    [&](const plan::Conflict& one) { return plan::concerns(one, id); });
    if (concerned) out.push_back(id);
  }
  return out;
}

/// What stands on top of every page of a group: browsers repeat the head of a table.
void write_running_head(Html& html, const plan::Plan& plan, const Group& group) {
  const auto head = html.open("thead");
  const auto row = html.open("tr");
  const auto cell = html.open("td");
  {
    const auto line = html.block("div", "head");
    {
      const auto what = html.block("div", "what");
      const auto heading = html.open("h1");
      html.said(group.title);
    }
    html.said("div", "site", plan.book->site.name.value);
  }
  std::string under = group.small;
  if (!group.says_days) under += (under.empty() ? "" : "; ") + days_text(group.orders);
  html.said("div", "under", under + "; " + count_text(plan, group.orders));
  html.said("div", "under", "Method: " + editions_text(plan, group.orders));
  const bool defers =
      std::any_of(group.orders.begin(), group.orders.end(),
                  [&](const SelectedOrder& one) { return defers_to_label(plan, one); });
  if (defers) html.text("div", "defer", language::caution_deference());
  const std::vector<std::string> conflicts = in_conflict(plan, group.orders);
  if (!conflicts.empty()) {
    html.said("div", "alert",
              "The plan of " + text::list_words(conflicts) +
                  " has conflicts: it cannot be carried out as it stands. Ask before you begin.");
  }
}

void write_day_title(Html& html, calendar::Day day) {
  const auto row = html.block("tr", "day");
  const auto cell = html.open("th");
  html.text(day_title(day));
}

void write_group(Html& html, const plan::Plan& plan, const Group& group,
                 std::optional<calendar::Day> today) {
  const auto table = html.block("table", "group");
  write_running_head(html, plan, group);
  const auto body = html.open("tbody");
  if (group.batch) {
    const auto row = html.open("tr");
    const auto cell = html.open("td");
    write_batch_head(html, plan, *group.batch, today);
  }
  std::optional<calendar::Day> day;
  for (const SelectedOrder& order : group.orders) {
    if (!html) return;
    if (!group.one_day && day != order.date()) write_day_title(html, order.date());
    day = order.date();
    const auto row = html.block("tr", "order");
    const auto cell = html.open("td");
    write_order_card(html, plan, order);
  }
}

}  // namespace

std::size_t write_work_sheets(std::ostream& out, const plan::Plan& plan,
                              const report::Filter& filter, const WorkSheets& sheets) {
  const report::Selection selected = report::select_all(plan, filter);
  std::vector<SelectedOrder> orders = report::in_order(plan, selected);
  std::erase_if(orders, [&](const SelectedOrder& one) { return !is_wanted(plan, filter, one); });
  const std::size_t found = orders.size();
  Page page(out, "Work sheets, " + plan.book->site.name.value, sheets.size);
  if (found == 0) page.html().said("p", {}, report::nothing_found(filter));
  for (const Group& group : groups_of(plan, std::move(orders), sheets.by)) {
    write_group(page.html(), plan, group, sheets.today);
  }
  return found;
}

}  // namespace budwood::paper
