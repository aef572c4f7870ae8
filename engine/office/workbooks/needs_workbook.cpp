#include <algorithm>
#include <cmath>

#include "office/workbooks/grid.hpp"
#include "plan/needs/costs.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/delivery_words.hpp"
#include "report/needs/needs_words.hpp"
#include "report/orders/order_words.hpp"
#include "report/report.hpp"

namespace budwood::office {

namespace {

using units::seconds_an_hour;

/// Where the columns stand that formulas read.
enum SupplyColumn : std::size_t {
  needed_column = 2,
  on_hand_column = 6,
  missing_column = 7,
  pack_column = 8,
  packs_column = 9,
  buy_column = 10,
  price_column = 11
};

std::vector<Column> supply_columns(const plan::Plan& plan) {
  return {{"Supply", Show::prose, 36},
          {"Name", Show::text, 18},
          {"Needed", Show::number, 11},
          {"Unit", Show::text, 9},
          {"Comes back", Show::text, 8},
          {"Of that spoilt", Show::number, 10},
          {"On hand", Show::number, 10},
          {"Missing", Show::number, 11},
          {"Pack holds", Show::number, 10},
          {"Packs to buy", Show::number, 9},
          {"To buy", Show::number, 11},
          {report::with_currency("Price of a pack or unit", plan), Show::money, 11},
          {report::with_currency("Cost", plan), Show::money, 11, true},
          {"Order by", Show::date, 11},
          {"Late", Show::text, 7},
          {"Missing on", Show::date, 11},
          {"Missing first for", Show::text, 12},
          {"Most out on", Show::date, 11},
          {"Made here", Show::number, 11}};
}

/// Rounding up with the slack that the plan has too: 0.3 / 0.1 is 3 and not 4.
std::string rounded_up(const std::string& formula) {
  return "ROUNDUP(ROUND(" + formula + ",9),0)";
}
double rounded_up(double value) {
  constexpr double places = 1e9;
  return std::ceil(std::round(value * places) / places);
}

/// From what is needed and on hand to what it costs. Each value rests on the cells beside it, so
/// that stock, packs and prices can be played with.
void write_purchase(Grid& grid, const plan::SupplyNeed& need) {
  const double needed = need.unit.from_base(need.amount);
  const double on_hand = need.unit.from_base(need.terms.on_hand);
  const double missing = std::max(0.0, needed - on_hand);
  const double bought = need.purchase ? need.unit.from_base(need.purchase->amount) : 0;
  const std::string missing_cell = grid.cell(missing_column);
  grid.number(on_hand);
  grid.formula("MAX(0," + grid.cell(needed_column) + "-" + grid.cell(on_hand_column) + ")", missing,
               missing);
  const bool in_packs = need.pack > 0;
  if (in_packs) {
    const double pack = need.unit.from_base(need.pack);
    const double packs = need.purchase ? need.purchase->packs : 0;
    grid.number(pack);
    grid.formula(rounded_up(missing_cell + "/" + grid.cell(pack_column)),
                 rounded_up(missing / pack), packs);
    grid.formula(grid.cell(packs_column) + "*" + grid.cell(pack_column), packs * pack, bought);
  } else {
    grid.blank().blank();
    const bool counted = need.unit.dimension == units::count;
    grid.formula(counted ? rounded_up(missing_cell) : missing_cell,
                 counted ? rounded_up(missing) : missing, bought);
  }
  if (!need.terms.price) {
    grid.blank().blank();
    return;
  }
  const double price = *need.terms.price * (in_packs ? need.pack : need.unit.to_base(1));
  const double times = in_packs ? (need.purchase ? need.purchase->packs : 0) : bought;
  grid.number(price);
  grid.formula(grid.cell(in_packs ? packs_column : buy_column) + "*" + grid.cell(price_column),
               times * price, need.purchase ? need.purchase->cost.value_or(0) : 0);
}

void add_supplies(WorkbookFile& file, const plan::Plan& plan, const plan::Needs& needs) {
  Grid& grid = file.add("Supplies", supply_columns(plan), 1);
  for (const plan::SupplyNeed& need : needs.supplies) {
    grid.text(report::shown_name(need)).text(need.supply);
    grid.number(need.unit.from_base(need.amount)).text(need.unit.symbol);
    grid.text(need.reused ? "yes" : "no").number(need.unit.from_base(need.spoilt));
    write_purchase(grid, need);
    if (need.purchase) {
      const plan::Purchase& purchase = *need.purchase;
      if (purchase.order_by) {
        grid.date(*purchase.order_by);
      } else {
        grid.blank();
      }
      grid.text(purchase.late ? "yes" : "no").date(purchase.first.day);
      grid.text(report::batch_id(plan, purchase.first.batch));
    } else {
      grid.blank().blank().blank().blank();
    }
    if (need.reused) {
      grid.date(need.peak_day);
    } else {
      grid.blank();
    }
    if (need.made) grid.number(need.unit.from_base(need.made->amount));
    grid.end_row();
  }
}

void add_hours(WorkbookFile& file, const plan::Plan& plan, const plan::Needs& needs) {
  enum Of : std::size_t { hours_column = 1, price = 2 };
  Grid& grid = file.add("Hours",
                        {{"Crew", Show::text, 20},
                         {"Person hours", Show::hours, 11, true},
                         {report::with_currency("Cost of an hour", plan), Show::money, 11},
                         {report::with_currency("Cost", plan), Show::money, 11, true}},
                        1);
  for (const plan::CrewNeed& need : needs.crews) {
    const double hours = need.seconds / units::seconds_an_hour;
    grid.text(report::shown_crew(need.crew)).number(hours);
    if (need.cost) {
      grid.number(*need.cost);
      grid.formula(grid.cell(hours_column) + "*" + grid.cell(price), hours * *need.cost,
                   hours * *need.cost);
    }
    grid.end_row();
  }
}

/// Only where the site says what rooms and lamps take.
void add_energy(WorkbookFile& file, const plan::Plan& plan) {
  const std::vector<report::EnergyLine> lines = report::energy_lines(plan);
  if (lines.empty()) return;
  Grid& grid = file.add("Energy",
                        {{"Room", Show::text, 20},
                         {"For", Show::text, 10},
                         {"Lamps burn (h)", Show::hours, 11},
                         {"kWh", Show::number, 12},
                         {report::with_currency("Cost", plan), Show::money, 11, true}},
                        1);
  for (const report::EnergyLine& line : lines) {
    grid.text(line.room).text(line.what);
    if (line.hours > 0) {
      grid.number(line.hours);
    } else {
      grid.blank();
    }
    grid.number(line.kwh).number(line.cost).end_row();
  }
}

std::vector<Column> group_columns(plan::Grouping grouping) {
  const bool by_batch = grouping == plan::Grouping::batch;
  std::vector<Column> out = {{by_batch ? "Batch" : "From", by_batch ? Show::text : Show::date, 12}};
  if (grouping == plan::Grouping::week) out.push_back({"Week", Show::text, 10});
  out.insert(out.end(), {{"Kind", Show::text, 8},
                         {"Supply or crew", Show::prose, 36},
                         {"Name", Show::text, 18},
                         {"Amount", Show::number, 12},
                         {"Unit", Show::text, 14}});
  if (grouping == plan::Grouping::day) out.push_back({"There (person hours)", Show::hours, 12});
  return out;
}

void add_groups(WorkbookFile& file, const plan::Plan& plan, const plan::Needs& needs,
                plan::Grouping grouping) {
  const std::string word(report::grouping_word(grouping));
  Grid& grid = file.add("By " + word, group_columns(grouping), 1);
  for (const plan::NeedsGroup& group : plan::group_needs(plan, needs, grouping)) {
    const auto begin = [&] {
      if (grouping == plan::Grouping::batch) {
        grid.text(report::batch_id(plan, group.batch));
      } else {
        grid.date(group.first);
      }
      if (grouping == plan::Grouping::week) grid.text(calendar::iso_week_text(group.first));
    };
    for (const plan::GroupShare& share : group.supplies) {
      const plan::SupplyNeed& need = needs.supplies[share.index];
      begin();
      grid.text("supply").text(report::shown_name(need)).text(need.supply);
      grid.number(need.unit.from_base(share.amount)).text(need.unit.symbol).end_row();
    }
    for (const plan::GroupShare& share : group.crews) {
      const plan::CrewNeed& need = needs.crews[share.index];
      begin();
      grid.text("crew").text(report::shown_crew(need.crew)).text(need.crew);
      grid.as(Show::hours).number(share.amount / units::seconds_an_hour).text("person-hours");
      if (grouping == plan::Grouping::day) {
        const std::optional<double> there = plan::crew_time(plan, need, group.first);
        grid.number(there ? std::optional(*there / units::seconds_an_hour) : std::nullopt);
      }
      grid.end_row();
    }
  }
}

/// A row a stage, so that every sum over rows is right.
void add_costs(WorkbookFile& file, const plan::Plan& plan, const plan::Needs& needs) {
  enum Of : std::size_t { plants_column = 2, supplies = 5, labour = 6, energy = 7, total = 8 };
  const auto money = [&](const char* head, bool summed) {
    return Column{report::with_currency(head, plan), Show::money, 12, summed};
  };
  Grid& grid = file.add("Costs",
                        {{"Batch", Show::text, 12},
                         {"Protocol", Show::text, 20},
                         {"Plants ordered", Show::number, 9},
                         {"Stage", Show::text, 16},
                         {"Title", Show::prose, 30},
                         money("Supplies", true),
                         money("Labour", true),
                         money("Energy", true),
                         money("Together", true),
                         money("A plant", false),
                         {"All priced", Show::text, 8}},
                        4);
  for (const plan::BatchCost& cost : plan::batch_costs(plan, needs).batches) {
    const plan::BatchPlan& batch = plan.batches[cost.batch];
    const language::Protocol& protocol = plan.protocol_of(batch);
    const auto plants = static_cast<double>(plan.facts_of(batch).plants.value);
    for (const plan::StageCost& stage : cost.stages) {
      const language::Stage& written = protocol.stages[stage.stage];
      grid.text(report::batch_id(plan, cost.batch)).text(protocol.name).number(plants);
      grid.text(written.name).text(written.title).number(stage.supplies).number(stage.labour);
      grid.number(stage.energy);
      grid.formula(grid.cell(supplies) + "+" + grid.cell(labour) + "+" + grid.cell(energy),
                   stage.supplies + stage.labour + stage.energy, stage.total());
      grid.formula(grid.cell(total) + "/" + grid.cell(plants_column), stage.total() / plants,
                   stage.total() / plants);
      grid.text(stage.complete ? "yes" : "no").end_row();
    }
  }
}

void add_takings(WorkbookFile& file, const plan::Plan& plan, const plan::Needs& needs) {
  Grid& grid = file.add("Behind the needs",
                        {{"Supply", Show::prose, 36},
                         {"Name", Show::text, 18},
                         {"Order", Show::text, 24},
                         {"Batch", Show::text, 12},
                         {"Date", Show::date, 11},
                         {"Back on", Show::date, 11},
                         {"Amount", Show::number, 12},
                         {"Of that spoilt", Show::number, 10},
                         {"Unit", Show::text, 10},
                         {"Rule", Show::prose, 40},
                         {"Line", Show::text, 24}},
                        1);
  for (const plan::SupplyNeed& need : needs.supplies) {
    for (const plan::Taking& taking : need.takings) {
      if (!file.ok()) return;
      const plan::WorkOrder& order = plan.orders[taking.order];
      grid.text(report::shown_name(need)).text(need.supply).text(plan::order_id(plan, order));
      grid.text(report::batch_id(plan, order.batch)).date(taking.day);
      if (need.reused) {
        grid.date(taking.back);
      } else {
        grid.blank();
      }
      grid.number(need.unit.from_base(taking.amount)).number(need.unit.from_base(taking.spoilt));
      grid.text(need.unit.symbol).text(report::rule_text(plan, taking));
      grid.text(report::file_and_line(report::line_of(plan, taking))).end_row();
    }
  }
}

/// A row for each part that is taken of a lot, and one for what no lot has.
void add_lots(WorkbookFile& file, const plan::Plan& plan) {
  Grid& grid = file.add("Lots",
                        {{"Supply", Show::prose, 30},
                         {"Lot", Show::text, 14},
                         {"There", Show::number, 11},
                         {"Unit", Show::text, 9},
                         {"Came up", Show::number, 9},
                         {"Of", Show::number, 9},
                         {"Tested on", Show::date, 11},
                         {"Use by", Show::date, 11},
                         {"Batch", Show::text, 12},
                         {"Taken on", Show::date, 11},
                         {"Taken", Show::number, 11},
                         {"Left", Show::number, 11}},
                        2);
  const auto day = [&](const std::optional<calendar::Day>& one) {
    if (one) {
      grid.date(*one);
    } else {
      grid.blank();
    }
  };
  for (const plan::LotBalance& lot : plan::lot_balances(plan)) {
    const units::Unit& unit = lot.supply->unit;
    double left = lot.count;
    const auto begin = [&] {
      grid.text(report::shown_name(*lot.supply)).text(lot.lot).number(unit.from_base(lot.count));
      grid.text(unit.symbol);
      const auto& test = lot.facts->test;
      if (test) {
        grid.number(static_cast<double>(test->good)).number(static_cast<double>(test->of));
        grid.date(test->day);
      } else {
        grid.blank().blank().blank();
      }
      const auto& use_by = lot.facts->use_by;
      day(use_by ? std::optional(use_by->value) : std::nullopt);
    };
    for (const plan::LotBalance::Part& part : lot.parts) {
      const plan::LotTaking& taking = plan.lots[part.taking];
      const double amount = taking.shares[part.share].amount;
      left -= amount;
      begin();
      grid.text(report::batch_id(plan, taking.batch)).date(taking.day);
      grid.number(unit.from_base(amount)).number(unit.from_base(left)).end_row();
    }
    if (!lot.parts.empty()) continue;
    begin();
    grid.blank().blank().blank().number(unit.from_base(left)).end_row();
  }
  for (const std::size_t i : plan::takings_that_miss(plan)) {
    const plan::LotTaking& taking = plan.lots[i];
    const language::Supply& supply =
        plan.protocol_of(plan.batches[taking.batch]).supplies[taking.supply];
    grid.text(report::shown_name(supply)).text("to buy").blank().text(supply.unit.symbol);
    grid.blank().blank().blank().blank();
    grid.text(report::batch_id(plan, taking.batch)).date(taking.day);
    grid.number(supply.unit.from_base(taking.shares.back().amount)).end_row();
  }
}

void add_mothers(WorkbookFile& file, const plan::Plan& plan) {
  Grid& grid = file.add("Mother plants",
                        {{"Mother plants", Show::text, 20},
                         {"Supply", Show::text, 18},
                         {"From", Show::date, 11},
                         {"Week", Show::text, 10},
                         {"There", Show::number, 11},
                         {"Taken", Show::number, 11},
                         {"Left", Show::number, 11},
                         {"Missing", Show::number, 11}},
                        1);
  for (const plan::MotherWeek& week : plan::mother_weeks(plan)) {
    grid.text(week.mothers).text(week.supply).date(week.monday);
    grid.text(calendar::iso_week_text(week.monday)).number(week.there).number(week.taken);
    grid.number(week.there - week.taken).number(week.missing).end_row();
  }
}

void add_finished(WorkbookFile& file, const plan::Plan& plan) {
  Grid& grid = file.add("Finished plants",
                        {{"Finished plants", Show::text, 20},
                         {"Of", Show::text, 22},
                         {"Cultivar", Show::text, 14},
                         {"From", Show::date, 11},
                         {"Until", Show::date, 11},
                         {"There", Show::number, 9},
                         {"Batch", Show::text, 12},
                         {"Taken", Show::number, 9},
                         {"Left", Show::number, 9}},
                        1);
  const auto day = [&](calendar::Day one) {
    if (one > calendar::first_day && one < calendar::last_day) {
      grid.date(one);
    } else {
      grid.blank();
    }
  };
  for (const plan::FinishedRow& row : plan::finished_rows(plan)) {
    const plan::FinishedStock& stock = *row.stock;
    grid.text(stock.name).text(stock.of).text(stock.cultivar);
    day(stock.from);
    day(stock.until);
    grid.number(stock.plants);
    if (row.part != nullptr) {
      grid.text(report::batch_id(plan, row.part->batch)).number(row.part->plants);
    } else {
      grid.blank().blank();
    }
    grid.number(row.left).end_row();
  }
}

/// The shopping list, a row a delivery.
void add_deliveries(WorkbookFile& file, const plan::Plan& plan, const plan::Needs& needs) {
  Grid& grid = file.add("Deliveries",
                        {{"From", Show::text, 20},
                         {"Order by", Show::date, 11},
                         {"Late", Show::text, 7},
                         {"Arrives", Show::date, 11},
                         {"Supply", Show::prose, 36},
                         {"Name", Show::text, 18},
                         {"Amount", Show::number, 11},
                         {"Unit", Show::text, 9},
                         {"Packs", Show::number, 9},
                         {"Pack holds", Show::number, 10},
                         {report::with_currency("Cost", plan), Show::money, 11, true},
                         {"Used from", Show::date, 11},
                         {"Used to", Show::date, 11},
                         {"Over", Show::number, 10}},
                        1);
  for (const auto& [need, delivery] : report::deliveries_by_supplier(needs)) {
    grid.text(report::supplier_text(*delivery));
    if (delivery->order_by) {
      grid.date(*delivery->order_by);
    } else {
      grid.blank();
    }
    grid.text(delivery->late ? "yes" : "no").date(delivery->arrives());
    grid.text(report::shown_name(*need)).text(need->supply);
    grid.number(need->unit.from_base(delivery->amount)).text(need->unit.symbol);
    if (delivery->pack > 0) {
      grid.number(delivery->packs).number(need->unit.from_base(delivery->pack));
    } else {
      grid.blank().blank();
    }
    grid.number(delivery->cost).date(delivery->first.day).date(delivery->last);
    grid.number(need->unit.from_base(delivery->over)).end_row();
  }
}

}  // namespace

Workbook needs_workbook(const plan::Plan& plan, const plan::Needs& needs,
                        const report::NeedsView& view) {
  WorkbookFile file(plan);
  add_supplies(file, plan, needs);
  add_hours(file, plan, needs);
  if (view.deliveries) add_deliveries(file, plan, needs);
  add_energy(file, plan);
  if (!plan.book->site.lots.empty()) add_lots(file, plan);
  if (!plan.book->site.mothers.empty()) add_mothers(file, plan);
  if (!plan.finished.empty()) add_finished(file, plan);
  if (view.by != plan::Grouping::all) add_groups(file, plan, needs, view.by);
  if (view.costs) add_costs(file, plan, needs);
  if (view.explain) add_takings(file, plan, needs);
  return file.finish(needs.supplies.size() + needs.crews.size());
}

}  // namespace budwood::office
