#include <span>

#include "office/workbooks/grid.hpp"
#include "office/workbooks/stage_rows.hpp"
#include "report/demand/demand_report.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "report/orders/order_words.hpp"
#include "report/settings/settings_days.hpp"

namespace budwood::office {

namespace {

using units::seconds_an_hour;

/// Where the columns stand that formulas read.
enum OrderColumn : std::size_t { plants_column = 6, rate_column = 7 };

std::vector<Column> order_columns(const plan::Plan& plan,
                                  const std::vector<report::SupplyColumn>& supplies) {
  std::vector<Column> out = {{"Date", Show::date, 11},
                             {"Weekday", Show::text, 11},
                             {"Week", Show::text, 10},
                             {"Batch", Show::text, 12},
                             {"Cultivar", Show::text, 12},
                             {"Work", Show::prose, 40},
                             {"Plants", Show::number, 9},
                             {"Plants an hour", Show::number, 9},
                             {"Person hours", Show::hours, 9, true},
                             {"People", Show::number, 8},
                             {"Crew", Show::text, 14},
                             {"Room", Show::text, 14},
                             {"Stage", Show::text, 16},
                             {"Stage starts", Show::date, 11},
                             {"Stage ends", Show::date, 11},
                             {"May end first", Show::date, 11},
                             {"May end last", Show::date, 11},
                             {"Float (days)", Show::number, 8},
                             {"Due", Show::date, 11},
                             {"Tools", Show::prose, 20},
                             {"Keep", Show::prose, 40},
                             {"Cautions", Show::prose, 60},
                             {"Record", Show::prose, 20},
                             {"Notes", Show::prose, 40},
                             {"Lots", Show::prose, 20},
                             {"Protocol", Show::text, 20},
                             {"Edition", Show::number, 8},
                             {"Line", Show::text, 24},
                             {"Order", Show::text, 24},
                             {"State", Show::text, 10},
                             {"Time of day", Show::text, 14}};
  for (const auto& [supply, unit] : supplies) {
    out.push_back({supply_title(plan, supply) + " (" + unit + ")", Show::number, 12, true});
  }
  return out;
}

/// How many plants one person does in an hour, where the protocol says just that.
std::optional<double> rate_of(const plan::Plan& plan, const plan::WorkOrder& order,
                              const plan::OrderDetail& detail) {
  const plan::BatchPlan& batch = plan.batches[order.batch];
  const language::Work& work = plan.protocol_of(batch).stages[order.stage].works[order.work];
  const bool plain = work.rate != language::no_formula && work.setup == language::no_formula &&
                     work.time == language::no_formula;
  if (!plain || detail.person_seconds <= 0) return std::nullopt;
  return detail.plants * units::seconds_an_hour / detail.person_seconds;
}

void write_hours(Grid& grid, const plan::OrderDetail& order, std::optional<double> rate) {
  const double hours = order.person_seconds / units::seconds_an_hour;
  if (!rate) {
    grid.blank().number(hours);
    return;
  }
  grid.number(*rate);
  grid.formula(grid.cell(plants_column) + "/" + grid.cell(rate_column), order.plants / *rate,
               hours);
}

void write_stage_dates(Grid& grid, const plan::Plan& plan, const plan::BatchPlan& batch,
                       language::StageId stage) {
  const sheet::Row row = plan.row_of(batch);
  const sheet::StageCells& cells = row.cells(stage);
  for (const sheet::CellId cell : {cells.start, cells.end, cells.earliest, cells.latest}) {
    grid.date_value(row.value(cell));
  }
  grid.number(row.value(cells.float_days));
}

void write_order(Grid& grid, const plan::Plan& plan, const plan::WorkOrder& order,
                 const std::vector<report::SupplyColumn>& supplies) {
  const plan::BatchPlan& batch = plan.batches[order.batch];
  const language::Protocol& protocol = plan.protocol_of(batch);
  const plan::OrderDetail detail = plan::describe(plan, order);
  grid.date(order.date).text(calendar::long_name(calendar::weekday(order.date)));
  grid.text(calendar::iso_week_text(order.date)).text(detail.batch).text(detail.cultivar);
  grid.text(detail.title).number(detail.plants);
  write_hours(grid, detail, rate_of(plan, order, detail));
  grid.number(detail.people > 0 ? std::optional(detail.people) : std::nullopt);
  grid.text(detail.crew).text(detail.room).text(detail.stage);
  write_stage_dates(grid, plan, batch, order.stage);
  grid.date(detail.due).text(report::joined(detail.tools, "; "));
  grid.text(report::settings_text(detail.settings)).text(report::joined(detail.cautions, " "));
  grid.text(report::joined(detail.records, "; ")).text(report::joined(detail.notes, " "));
  grid.text(report::lots_text(detail)).text(protocol.name).number(protocol.edition);
  grid.text(report::file_and_line(detail.line)).text(detail.id).text(plan::word(detail.state));
  grid.text(detail.hours);
  for (const report::SupplyColumn& column : supplies) {
    grid.number(report::supply_amount(detail.supplies, column));
  }
  grid.end_row();
}

void add_orders(WorkbookFile& file, const plan::Plan& plan, const report::Selection& selected) {
  const std::vector<report::SupplyColumn> supplies = report::supply_columns(plan);
  constexpr int up_to_work = 6;
  Grid& grid = file.add("Work orders", order_columns(plan, supplies), up_to_work);
  for (const std::size_t i : selected.orders) {
    if (!file.ok()) return;
    write_order(grid, plan, plan.orders[i], supplies);
  }
}

void add_settings(WorkbookFile& file, const plan::Plan& plan, const report::Selection& selected) {
  Grid& grid = file.add("Settings",
                        {{"Date", Show::date, 11},
                         {"Weekday", Show::text, 11},
                         {"Week", Show::text, 10},
                         {"Room", Show::text, 14},
                         {"Zone", Show::text, 8},
                         {"Batch", Show::text, 12},
                         {"Cultivar", Show::text, 12},
                         {"Stage", Show::text, 16},
                         {"Set", Show::prose, 70},
                         {"Notes", Show::prose, 30},
                         {"Protocol", Show::text, 20},
                         {"Edition", Show::number, 8},
                         {"Line", Show::text, 24},
                         {"Order", Show::text, 24}},
                        4);
  for (const plan::SettingOrder& order : selected.settings) {
    if (!file.ok()) return;
    const language::Protocol& protocol = plan.protocol_of(plan.batches[order.lead.batch]);
    const plan::SettingDetail detail = plan::describe(plan, order);
    grid.date(order.date).text(calendar::long_name(calendar::weekday(order.date)));
    grid.text(calendar::iso_week_text(order.date)).text(detail.room).text(detail.zone);
    grid.text(detail.batch).text(detail.cultivar).text(detail.stage);
    grid.text(report::settings_text(detail.changes));
    grid.text(report::notes_text(detail));
    grid.text(protocol.name).number(protocol.edition);
    grid.text(report::file_and_line(detail.line)).text(detail.id).end_row();
  }
}

void add_makings(WorkbookFile& file, const plan::Plan& plan, const report::Selection& selected) {
  Grid& grid = file.add("Made here",
                        {{"Date", Show::date, 11},
                         {"Weekday", Show::text, 11},
                         {"Week", Show::text, 10},
                         {"Made", Show::prose, 36},
                         {"Amount", Show::number, 10},
                         {"Needed", Show::number, 10},
                         {"Unit", Show::text, 8},
                         {"Of", Show::prose, 50},
                         {"For", Show::prose, 50},
                         {"Batches", Show::prose, 20},
                         {"Person hours", Show::hours, 11, true},
                         {"People", Show::number, 8},
                         {"Crew", Show::text, 14},
                         {"Tools", Show::prose, 24},
                         {"Cautions", Show::prose, 50},
                         {"Notes", Show::prose, 40},
                         {"Line", Show::text, 24},
                         {"Order", Show::text, 30}},
                        4);
  for (const std::size_t i : selected.makings) {
    if (!file.ok()) return;
    const plan::MakingDetail making = plan::describe(plan, plan.makings[i]);
    grid.date(making.date).text(calendar::long_name(calendar::weekday(making.date)));
    grid.text(calendar::iso_week_text(making.date)).text(making.title);
    grid.number(making.made.unit.from_base(making.made.amount));
    grid.number(making.made.unit.from_base(making.needed)).text(making.made.unit.symbol);
    grid.text(report::supplies_text(making.supplies)).text(report::joined(making.uses, "; "));
    grid.text(report::joined(making.batches, "; "));
    grid.number(making.person_seconds / units::seconds_an_hour);
    grid.number(making.people > 0 ? std::optional(making.people) : std::nullopt);
    grid.text(making.crew).text(report::joined(making.tools, "; "));
    grid.text(report::joined(making.cautions, " ")).text(report::joined(making.notes, " "));
    grid.text(report::file_and_line(making.line)).text(making.id).end_row();
  }
}

/// A row for each number that a demand leads to, and for each promise; no sheet without any.
void add_demand(WorkbookFile& file, const plan::Plan& plan, const report::Filter& filter) {
  const std::vector<const plan::BatchPlan*> batches = report::wanted_batches(plan, filter);
  if (batches.empty()) return;
  Grid& grid = file.add("Demand",
                        {{"Batch", Show::text, 12},
                         {"Number", Show::text, 16},
                         {"Plants", Show::number, 9},
                         {"Start with", Show::prose, 26},
                         {"Sold", Show::number, 9},
                         {"Over", Show::number, 9},
                         {"Missing", Show::number, 9},
                         {"Enough", Show::share, 9},
                         {report::with_currency("Lost", plan), Show::money, 11},
                         {"Promised for", Show::date, 11},
                         {"For", Show::prose, 20},
                         {"All there from", Show::date, 11}},
                        1);
  for (const plan::BatchPlan* batch : batches) {
    const std::string& id = plan.facts_of(*batch).id.value;
    if (const auto view = plan::demand_of(plan, *batch)) {
      for (const report::NamedCase& one : report::cases_of(*view)) {
        const statistics::Met& met = one.of->met;
        grid.text(id).text(one.name).number(static_cast<double>(one.of->plants));
        grid.text(report::starts_text(plan, *batch, *one.of)).number(met.sold).number(met.over);
        grid.number(met.lack).number(met.enough).number(one.of->cost).end_row();
      }
    }
    for (const plan::PromiseKept& one : plan::promises_of(plan, *batch)) {
      grid.text(id).text("promised").number(static_cast<double>(one.promise->plants));
      for (int i = 0; i < 6; ++i) grid.blank();
      grid.date(one.promise->on).text(one.promise->whose);
      if (one.whole) grid.date(*one.whole);
      grid.end_row();
    }
  }
}

}  // namespace

Workbook orders_workbook(const plan::Plan& plan, const report::Filter& filter) {
  const report::Selection selected = report::select_all(plan, filter);
  WorkbookFile file(plan);
  add_orders(file, plan, selected);
  add_settings(file, plan, selected);
  if (!plan.recipes.empty()) add_makings(file, plan, selected);
  add_stages(file, plan, filter);
  add_demand(file, plan, filter);
  return file.finish(selected.size());
}

Workbook settings_workbook(const plan::Plan& plan, const report::Filter& filter) {
  std::vector<Column> columns = {{"Batch", Show::text, 12},  {"Protocol", Show::text, 20},
                                 {"Stage", Show::text, 16},  {"Room", Show::text, 14},
                                 {"Date", Show::date, 11},   {"Day of stage", Show::number, 8},
                                 {"Waited", Show::number, 8}};
  for (const report::SettingsColumn& column : report::settings_columns(plan.book->site.units)) {
    const std::string& unit = column.unit.symbol;
    columns.push_back({unit.empty() ? column.name : column.name + " (" + unit + ")", Show::number});
  }
  WorkbookFile file(plan);
  constexpr int up_to_date = 5;
  Grid& grid = file.add("Settings by day", std::move(columns), up_to_date);
  std::size_t days = 0;
  report::for_each_stage(
      plan, filter, plan.book->site.units, [&](const report::SettingsStage& one) {
        const plan::BatchPlan& batch = plan.batches[one.batch];
        const language::Protocol& protocol = plan.protocol_of(batch);
        for (const report::SettingsDay& day : one.days) {
          grid.text(plan.facts_of(batch).id.value).text(protocol.name);
          grid.text(protocol.stages[one.stage].name).text(protocol.stages[one.stage].room);
          grid.date(day.date).number(day.day).number(day.waited);
          for (const double value : day.values) grid.number(value);
          grid.end_row();
        }
        days += one.days.size();
        return file.ok();
      });
  return file.finish(days);
}

}  // namespace budwood::office
