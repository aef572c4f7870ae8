#include <ostream>

#include "record/returns.hpp"
#include "report/formats/csv.hpp"
#include "report/formats/wording.hpp"
#include "report/record/record_list.hpp"

namespace budwood::report {

std::size_t write_returns(std::ostream& out, const plan::Plan& plan, const Filter& filter) {
  Csv csv(out);
  for (const char* head : {"Date", "Batch", "Work", "Plants", "Crew", "Room", "Record"})
    csv.text(head);
  for (const char* head : record::return_heads) csv.text(head);
  csv.end_row();
  const std::vector<std::size_t> orders = select_unsettled(plan, filter);
  for (const std::size_t i : orders) {
    const plan::OrderDetail order = plan::describe(plan, plan.orders[i]);
    csv.text(calendar::iso_date(order.date)).text(order.batch).text(order.title);
    csv.number(order.plants).text(order.crew).text(order.room).text(joined(order.records, "; "));
    csv.text(order.id);
    for (std::size_t c = 1; c < record::return_columns; ++c) csv.text("");
    csv.end_row();
  }
  return orders.size();
}

}  // namespace budwood::report
