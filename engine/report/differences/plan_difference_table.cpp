#include <algorithm>
#include <cmath>
#include <ostream>
#include <set>

#include "report/differences/comparison.hpp"
#include "report/differences/plan_difference.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/report.hpp"

namespace budwood::report {

namespace {

/// What stands on one side of a row: how often, when, and what of it differs between the sides.
struct Side {
  std::vector<calendar::Day> days;
  double plants = 0;
  double person_seconds = 0;
  std::vector<double> supplies;  ///< in all
};

Side side_of(const plan::Plan& plan, const std::vector<OrderPair>& orders,
             const plan::WorkOrder* OrderPair::*side) {
  Side out;
  for (const OrderPair& pair : orders) {
    const plan::WorkOrder* order = pair.*side;
    if (order == nullptr) continue;
    const WorkNeeds needs = needs_of(plan, *order);
    out.days.push_back(order->date);
    out.plants = std::max(out.plants, needs.plants);
    out.person_seconds += needs.person_seconds;
    out.supplies.resize(needs.supplies.size());
    for (std::size_t i = 0; i < needs.supplies.size(); ++i) out.supplies[i] += needs.supplies[i];
  }
  std::sort(out.days.begin(), out.days.end());
  return out;
}

std::string when(const Side& side) {
  if (side.days.empty()) return "-";
  if (side.days.size() == 1) return short_date(side.days.front());
  std::string text = std::to_string(side.days.size()) + " times, " + short_date(side.days.front());
  if (side.days.back() != side.days.front()) text += " to " + short_date(side.days.back());
  return text;
}

/// "7 days earlier"; when not all move alike, "5 days earlier to 1 day later".
std::string moved_text(const std::vector<OrderPair>& orders) {
  std::set<calendar::Day> steps;
  for (const OrderPair& pair : orders) {
    if (pair.before != nullptr && pair.after != nullptr) {
      steps.insert(pair.after->date - pair.before->date);
    }
  }
  if (steps.empty() || (steps.size() == 1 && *steps.begin() == 0)) return "";
  const auto words = [](calendar::Day step) {
    const std::string text = difference_text(date_reading(0), date_reading(step));
    return text.empty() ? std::string("the same day") : text;
  };
  if (steps.size() == 1) return words(*steps.begin());
  return words(*steps.begin()) + " to " + words(*steps.rbegin());
}

std::string times_text(std::size_t before, std::size_t after) {
  if (before == 0) return "new";
  if (after == 0) return "gone";
  if (before == after) return "";
  const bool more = after > before;
  return counted(more ? after - before : before - after, "time") + (more ? " more" : " fewer");
}

/// One row of the table of work.
std::vector<std::string> row_of(const Comparison& both, const language::Protocol& protocol,
                                const WorkDifference& difference) {
  const language::Work& work = protocol.stages[difference.stage].works[difference.work];
  const Side before = side_of(both.before, difference.orders, &OrderPair::before);
  const Side after = side_of(both.after, difference.orders, &OrderPair::after);
  std::vector<std::string> cells = {work.title, when(before), when(after)};
  std::vector<std::string> steps;
  for (const std::string& step :
       {times_text(before.days.size(), after.days.size()), moved_text(difference.orders)}) {
    if (!step.empty()) steps.push_back(step);
  }
  const auto add = [&](const Reading& was, const Reading& is, const std::string& what) {
    if (!differ(was, is)) return;
    cells[1] += ", " + what + was.shown;
    cells[2] += ", " + what + is.shown;
    steps.push_back(what + difference_text(was, is));
  };
  if (!before.days.empty() && !after.days.empty()) {
    add(plants_reading(before.plants), plants_reading(after.plants), "");
    add(hours_reading(before.person_seconds), hours_reading(after.person_seconds), "");
    for (std::size_t i = 0; i < work.uses.size(); ++i) {
      const language::Supply& supply = supply_of(protocol, work.uses[i]);
      // What grows with the plants or the times is told with them.
      if (before.plants != after.plants || before.days.size() != after.days.size()) break;
      add(amount_reading(before.supplies[i], supply.unit),
          amount_reading(after.supplies[i], supply.unit), "");
    }
  }
  cells.push_back(joined(steps, ", "));
  return cells;
}

void write_batch(std::ostream& out, const Comparison& both, const BatchDifference& batch,
                 const Style& style) {
  Differences values = batch.values;
  for (Difference& one : values) one.batch.clear();
  const std::string head = "Batch " + *batch.batch.id;
  write_differences_table(out, values, head, style);
  if (values.empty()) {
    out << '\n';
    write_remark(out, head, style);
  }
  const language::Protocol& protocol = protocol_of(both, batch.batch);
  if (!batch.works.empty()) {
    Table table({{"Work"}, {"Before"}, {"After"}, {"Difference"}});
    for (const WorkDifference& work : batch.works) table.add(row_of(both, protocol, work));
    out << '\n';
    table.write(out, style, table_indent);
  }
  write_settings_differences(out, protocol, batch.settings, style);
}

void write_table(std::ostream& out, const Comparison& both, const PlanDifference& difference,
                 const Style& style) {
  write_changes_head(out, both, style);
  for (const BatchDifference& batch : difference.batches) write_batch(out, both, batch, style);
  write_differences_table(out, difference.makings, "Made here", style);
  write_messages(out, difference.messages, style);
  out << '\n';
  if (difference.batches.empty() && difference.makings.empty()) {
    out << (difference.messages.empty() ? "Nothing in the plan changes.\n"
                                        : "No date, number, work or setting changes.\n");
  } else if (difference.batches.empty()) {
    out << "All batches stay as they are.\n";
  } else if (difference.same > 0) {
    out << (difference.same == 1
                ? "The other batch stays as it is.\n"
                : "The other " + std::to_string(difference.same) + " batches stay as they are.\n");
  }
}

/// In the order of the table.
Differences all_rows(const Comparison& both, const PlanDifference& difference) {
  Differences out = change_rows(both);
  for (const BatchDifference& batch : difference.batches) {
    const Differences orders = order_rows(both, batch);
    const Differences settings =
        setting_rows(batch.batch, protocol_of(both, batch.batch), batch.settings);
    out.insert(out.end(), batch.values.begin(), batch.values.end());
    out.insert(out.end(), orders.begin(), orders.end());
    out.insert(out.end(), settings.begin(), settings.end());
  }
  out.insert(out.end(), difference.makings.begin(), difference.makings.end());
  out.insert(out.end(), difference.messages.begin(), difference.messages.end());
  return out;
}

}  // namespace

void write_messages(std::ostream& out, const Differences& messages, const Style& style) {
  if (messages.empty()) return;
  Table table({{"", Table::Kind::entry}, {"Batch", Table::Kind::entry}, {"What the plan says"}});
  for (const Difference& one : messages) {
    const bool is_new = one.before.kind == Reading::Kind::none;
    table.add({is_new ? "new " + one.about : one.about + " gone", one.batch,
               is_new ? one.after.shown : one.before.shown});
  }
  out << '\n';
  table.write(out, style, table_indent);
}

void write_plan_differences(std::ostream& out, const Comparison& both, const Filter& filter,
                            Format format, const Style& style) {
  const PlanDifference difference = plan_difference(both, filter);
  switch (format) {
    case Format::table:
      write_table(out, both, difference, style);
      break;
    case Format::csv:
      write_differences_csv(out, all_rows(both, difference));
      break;
    case Format::json:
      write_differences_json(out, both.before.book->site.name.value, all_rows(both, difference));
      break;
  }
}

}  // namespace budwood::report
