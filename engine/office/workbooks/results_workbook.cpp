#include "office/workbooks/grid.hpp"
#include "report/results/results_report.hpp"

namespace budwood::office {

namespace {

std::vector<Column> columns_of(const results::Question& question) {
  std::vector<Column> columns = {{"Book", Show::text, 14},
                                 {"Protocol", Show::text, 18},
                                 {"Group", Show::text, 22},
                                 {"Stage", Show::text, 24},
                                 {"Counts", Show::number, 8}};
  const Show show = question.of == results::Of::take   ? Show::share
                    : question.of == results::Of::cost ? Show::money
                                                       : Show::number;
  switch (question.of) {
    case results::Of::take:
      columns.push_back({"Started", Show::number, 9});
      columns.push_back({"Left", Show::number, 9});
      break;
    case results::Of::rate:
      columns.push_back({"Hours", Show::hours, 9});
      columns.push_back({"Plants", Show::number, 9});
      break;
    case results::Of::days:
      break;
    case results::Of::cost:
      columns.push_back({"Cost", Show::money, 10});
      columns.push_back({"Good plants", Show::number, 11});
      break;
  }
  columns.push_back({report::result_name(question.of), show, 14});
  columns.push_back({"From", show, 9});
  columns.push_back({"To", show, 9});
  columns.push_back({"Usual", show, 9});
  return columns;
}

}  // namespace

Workbook results_workbook(const plan::Plan& plan, const results::Summary& summary) {
  WorkbookFile file(plan);
  Grid& grid = file.add("Results", columns_of(summary.question), 4);
  constexpr std::size_t amount_column = 5;
  for (const results::Row& row : summary.rows) {
    grid.text(summary.books[row.book]).text(row.protocol).text(row.group).text(row.title);
    grid.number(static_cast<double>(row.units));
    if (summary.question.of != results::Of::days) grid.number(row.amount).number(row.result);
    if (summary.question.of == results::Of::take) {
      const std::string share = grid.cell(amount_column + 1) + "/" + grid.cell(amount_column);
      grid.formula(share, row.value, row.value);
    } else {
      grid.number(row.value);
    }
    const auto& limits = row.interval ? row.interval : row.seen;
    grid.number(limits ? std::optional(limits->low) : std::nullopt);
    grid.number(limits ? std::optional(limits->high) : std::nullopt);
    grid.number(row.usual);
    grid.end_row();
  }
  return file.finish(summary.rows.size());
}

}  // namespace budwood::office
