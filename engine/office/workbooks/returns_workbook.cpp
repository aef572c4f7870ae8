#include "office/workbooks/grid.hpp"
#include "record/returns.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/wording.hpp"

namespace budwood::office {

Workbook returns_workbook(const plan::Plan& plan, const report::Filter& filter) {
  std::vector<Column> columns = {
      {"Date", Show::date, 11},    {"Batch", Show::text, 12},
      {"Work", Show::prose, 40},   {"Plants", Show::number, 9},
      {"Crew", Show::text, 14},    {"Room", Show::text, 14},
      {"Record", Show::prose, 20}, {record::return_heads.front(), Show::text, 24}};
  const std::size_t printed = columns.size();
  for (std::size_t i = 1; i < record::return_columns; ++i) {
    columns.push_back({record::return_heads.at(i), Show::filled_in, i < 5 ? 12.0 : 28.0});
  }
  WorkbookFile file(plan);
  constexpr int up_to_work = 3;
  Grid& grid = file.add("Work done", columns, up_to_work);
  const std::vector<std::size_t> orders = report::select_unsettled(plan, filter);
  for (const std::size_t i : orders) {
    if (!file.ok()) break;
    const plan::OrderDetail order = plan::describe(plan, plan.orders[i]);
    grid.date(order.date).text(order.batch).text(order.title).number(order.plants);
    grid.text(order.crew).text(order.room).text(report::joined(order.records, "; ")).text(order.id);
    for (std::size_t c = printed; c < columns.size(); ++c) grid.to_fill();
    grid.end_row();
  }
  return file.finish(orders.size());
}

}  // namespace budwood::office
