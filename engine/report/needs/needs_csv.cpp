#include <cmath>

#include "plan/needs/costs.hpp"
#include "report/formats/csv.hpp"
#include "report/formats/wording.hpp"
#include "report/formats/writers.hpp"
#include "report/needs/delivery_words.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

void write_head(Csv& csv, const std::vector<std::string_view>& names) {
  for (const std::string_view name : names) csv.text(name);
  csv.end_row();
}

void leave_empty(Csv& csv, int fields) {
  for (int i = 0; i < fields; ++i) csv.text("");
}

void write_optional(Csv& csv, const std::optional<double>& value) {
  if (value) {
    csv.number(*value);
  } else {
    csv.text("");
  }
}

void write_purchase(Csv& csv, const plan::Plan& plan, const plan::SupplyNeed& need) {
  const plan::Purchase& purchase = *need.purchase;
  csv.number(need.unit.from_base(purchase.amount));
  write_optional(csv, purchase.packs > 0 ? std::optional(purchase.packs) : std::nullopt);
  write_optional(csv, purchase.cost);
  csv.text(currency_of(plan)).text(calendar::iso_date(purchase.first.day));
  csv.text(batch_id(plan, purchase.first.batch));
  csv.text(purchase.order_by ? calendar::iso_date(*purchase.order_by) : "");
  csv.text(purchase.late ? "yes" : "no");
}

/// A row for the heat of each room or zone, and one for its lamps.
void write_energy(Csv& csv, const plan::Plan& plan) {
  for (const EnergyLine& line : energy_lines(plan)) {
    csv.text("energy").text(line.room).text(line.what).number(line.kwh).text("kWh");
    leave_empty(csv, 8);
    write_optional(csv, line.cost);
    csv.text(line.cost ? currency_of(plan) : "");
    leave_empty(csv, 5);
    csv.end_row();
  }
}

void write_totals(Csv& csv, const plan::Plan& plan, const plan::Needs& needs) {
  write_head(csv,
             {"kind",     "name",       "title",         "amount",   "unit", "reused",    "pack",
              "packs",    "spoilt",     "peak_date",     "on_hand",  "buy",  "buy_packs", "cost",
              "currency", "missing_on", "missing_batch", "order_by", "late", "made"});
  constexpr int purchase_fields = 8;
  for (const plan::SupplyNeed& need : needs.supplies) {
    csv.text("supply").text(need.supply).text(need.title);
    csv.number(need.unit.from_base(need.amount)).text(need.unit.symbol);
    csv.text(need.reused ? "yes" : "no");
    if (need.pack > 0 && !need.made) {
      csv.number(need.unit.from_base(need.pack)).number(need.packs);
    } else {
      leave_empty(csv, 2);
    }
    csv.number(need.unit.from_base(need.spoilt));
    csv.text(need.reused ? calendar::iso_date(need.peak_day) : "");
    csv.number(need.unit.from_base(need.terms.on_hand));
    if (need.purchase) {
      write_purchase(csv, plan, need);
    } else {
      leave_empty(csv, purchase_fields);
    }
    write_optional(
        csv, need.made ? std::optional(need.unit.from_base(need.made->amount)) : std::nullopt);
    csv.end_row();
  }
  for (const plan::CrewNeed& need : needs.crews) {
    csv.text("crew").text(need.crew).text("");
    csv.number(need.seconds / units::seconds_an_hour).text("person-hours");
    leave_empty(csv, 7 + purchase_fields);
    csv.end_row();
  }
  write_energy(csv, plan);
}

/// `there`: what a crew has on that day, where one knows.
void write_groups(Csv& csv, const plan::Plan& plan, const plan::Needs& needs,
                  plan::Grouping grouping) {
  const bool by_day = grouping == plan::Grouping::day;
  const bool by_week = grouping == plan::Grouping::week;
  std::vector<std::string_view> head = {grouping_word(grouping)};
  if (by_week) head.push_back("monday");
  for (const char* name : {"kind", "name", "title", "amount", "unit"}) head.push_back(name);
  if (by_day) head.push_back("there");
  write_head(csv, head);
  for (const plan::NeedsGroup& group : plan::group_needs(plan, needs, grouping)) {
    const auto begin = [&] {
      csv.text(group_name(plan, group, grouping));
      if (by_week) csv.text(calendar::iso_date(group.first));
    };
    for (const plan::GroupShare& share : group.supplies) {
      const plan::SupplyNeed& need = needs.supplies[share.index];
      begin();
      csv.text("supply").text(need.supply).text(need.title);
      csv.number(need.unit.from_base(share.amount)).text(need.unit.symbol);
      if (by_day) csv.text("");
      csv.end_row();
    }
    for (const plan::GroupShare& share : group.crews) {
      const plan::CrewNeed& need = needs.crews[share.index];
      begin();
      csv.text("crew").text(need.crew).text("");
      csv.number(share.amount / units::seconds_an_hour).text("person-hours");
      if (by_day) {
        const std::optional<double> there = plan::crew_time(plan, need, group.first);
        write_optional(csv, there ? std::optional(*there / units::seconds_an_hour) : std::nullopt);
      }
      csv.end_row();
    }
  }
}

/// A row a stage, so that every sum over rows is right.
void write_costs(Csv& csv, const plan::Plan& plan, const plan::Needs& needs) {
  write_head(csv, {"batch", "protocol", "plants", "stage", "title", "supplies", "labour", "energy",
                   "total", "a_plant", "currency", "complete"});
  for (const plan::BatchCost& cost : plan::batch_costs(plan, needs).batches) {
    const plan::BatchPlan& batch = plan.batches[cost.batch];
    const language::Protocol& protocol = plan.protocol_of(batch);
    const auto plants = static_cast<double>(plan.facts_of(batch).plants.value);
    for (const plan::StageCost& stage : cost.stages) {
      const language::Stage& written = protocol.stages[stage.stage];
      csv.text(batch_id(plan, cost.batch)).text(protocol.name).number(plants);
      csv.text(written.name).text(written.title);
      csv.number(stage.supplies).number(stage.labour).number(stage.energy).number(stage.total());
      csv.number(stage.total() / plants).text(currency_of(plan));
      csv.text(stage.complete ? "yes" : "no").end_row();
    }
  }
}

/// A row for each part that is taken of a lot, one for a lot of which nothing is, and one for what
/// no lot has.
void write_lots(Csv& csv, const plan::Plan& plan) {
  write_head(csv, {"supply", "lot", "count", "unit", "good", "tested", "test_date", "use_by",
                   "batch", "stage", "date", "plants", "rate", "amount", "done", "left"});
  const auto facts = [&](const plan::LotBalance& lot) {
    csv.text(lot.supply->name).text(lot.lot).number(lot.supply->unit.from_base(lot.count));
    csv.text(lot.supply->unit.symbol);
    if (lot.facts->test) {
      csv.number(static_cast<double>(lot.facts->test->good));
      csv.number(static_cast<double>(lot.facts->test->of));
      csv.text(calendar::iso_date(lot.facts->test->day));
    } else {
      leave_empty(csv, 3);
    }
    csv.text(lot.facts->use_by ? calendar::iso_date(lot.facts->use_by->value) : "");
  };
  const auto part = [&](const plan::LotTaking& taking, const plan::LotShare& share) {
    const language::Protocol& protocol = plan.protocol_of(plan.batches[taking.batch]);
    csv.text(batch_id(plan, taking.batch)).text(protocol.stages[taking.stage].name);
    csv.text(calendar::iso_date(taking.day)).number(share.plants);
    csv.number(std::isnan(share.rate) ? taking.usual : share.rate);
    csv.number(protocol.supplies[taking.supply].unit.from_base(share.amount));
    csv.text(taking.done ? "yes" : "no");
  };
  for (const plan::LotBalance& lot : plan::lot_balances(plan)) {
    double left = lot.count;
    for (const plan::LotBalance::Part& one : lot.parts) {
      const plan::LotTaking& taking = plan.lots[one.taking];
      left -= taking.shares[one.share].amount;
      facts(lot);
      part(taking, taking.shares[one.share]);
      csv.number(lot.supply->unit.from_base(left)).end_row();
    }
    if (!lot.parts.empty()) continue;
    facts(lot);
    leave_empty(csv, 7);
    csv.number(lot.supply->unit.from_base(left)).end_row();
  }
  for (const std::size_t i : plan::takings_that_miss(plan)) {
    const plan::LotTaking& taking = plan.lots[i];
    const language::Supply& supply =
        plan.protocol_of(plan.batches[taking.batch]).supplies[taking.supply];
    csv.text(supply.name).text("").text("").text(supply.unit.symbol);
    leave_empty(csv, 4);
    part(taking, taking.shares.back());
    csv.text("").end_row();
  }
}

void write_mothers(Csv& csv, const plan::Plan& plan) {
  write_head(csv, {"mothers", "supply", "week", "monday", "there", "taken", "left", "missing"});
  for (const plan::MotherWeek& week : plan::mother_weeks(plan)) {
    csv.text(week.mothers).text(week.supply).text(calendar::iso_week_text(week.monday));
    csv.text(calendar::iso_date(week.monday)).number(week.there).number(week.taken);
    csv.number(week.there - week.taken).number(week.missing).end_row();
  }
}

/// A row for each batch that takes of them.
void write_finished(Csv& csv, const plan::Plan& plan) {
  write_head(csv, {"finished", "over_of", "protocol", "cultivar", "from", "until", "plants",
                   "batch", "taken", "left"});
  for (const plan::FinishedRow& row : plan::finished_rows(plan)) {
    const plan::FinishedStock& stock = *row.stock;
    const bool of_batch = stock.facts == nullptr;
    csv.text(of_batch ? "" : stock.name).text(of_batch ? stock.name : "");
    csv.text(stock.of).text(stock.cultivar);
    csv.text(stock.from > calendar::first_day ? calendar::iso_date(stock.from) : "");
    csv.text(stock.until < calendar::last_day ? calendar::iso_date(stock.until) : "");
    csv.number(stock.plants);
    if (row.part != nullptr) {
      csv.text(batch_id(plan, row.part->batch)).number(row.part->plants);
    } else {
      leave_empty(csv, 2);
    }
    csv.number(row.left).end_row();
  }
}

/// A row a delivery, by supplier.
void write_deliveries(Csv& csv, const plan::Plan& plan, const plan::Needs& needs) {
  write_head(
      csv, {"supplier", "supply", "title", "order_by", "late", "arrives", "amount", "unit", "packs",
            "pack", "cost", "currency", "used_from", "used_to", "batch", "over", "spoils"});
  for (const auto& [need, delivery] : deliveries_by_supplier(needs)) {
    csv.text(delivery->supplier).text(need->supply).text(need->title);
    csv.text(delivery->order_by ? calendar::iso_date(*delivery->order_by) : "");
    csv.text(delivery->late ? "yes" : "no").text(calendar::iso_date(delivery->arrives()));
    csv.number(need->unit.from_base(delivery->amount)).text(need->unit.symbol);
    if (delivery->pack > 0) {
      csv.number(delivery->packs).number(need->unit.from_base(delivery->pack));
    } else {
      leave_empty(csv, 2);
    }
    write_optional(csv, delivery->cost);
    csv.text(currency_of(plan)).text(calendar::iso_date(delivery->first.day));
    csv.text(calendar::iso_date(delivery->last)).text(batch_id(plan, delivery->first.batch));
    csv.number(need->unit.from_base(delivery->over));
    csv.text(delivery->spoils && delivery->over > 0 ? "yes" : "no").end_row();
  }
}

void write_takings(Csv& csv, const plan::Plan& plan, const plan::Needs& needs) {
  write_head(csv, {"supply", "title", "order", "batch", "date", "back", "amount", "spoilt", "unit",
                   "rule", "line"});
  for (const plan::SupplyNeed& need : needs.supplies) {
    for (const plan::Taking& taking : need.takings) {
      const plan::WorkOrder& order = plan.orders[taking.order];
      csv.text(need.supply).text(need.title).text(plan::order_id(plan, order));
      csv.text(batch_id(plan, order.batch)).text(calendar::iso_date(taking.day));
      csv.text(need.reused ? calendar::iso_date(taking.back) : "");
      csv.number(need.unit.from_base(taking.amount)).number(need.unit.from_base(taking.spoilt));
      csv.text(need.unit.symbol).text(rule_text(plan, taking));
      csv.text(file_and_line(line_of(plan, taking))).end_row();
    }
  }
}

}  // namespace

void write_needs_csv(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                     const NeedsView& view) {
  Csv csv(out);
  if (view.lots) {
    write_lots(csv, plan);
  } else if (view.mothers) {
    write_mothers(csv, plan);
  } else if (view.finished) {
    write_finished(csv, plan);
  } else if (view.deliveries) {
    write_deliveries(csv, plan, needs);
  } else if (view.explain) {
    write_takings(csv, plan, needs);
  } else if (view.costs) {
    write_costs(csv, plan, needs);
  } else if (view.by != plan::Grouping::all) {
    write_groups(csv, plan, needs, view.by);
  } else {
    write_totals(csv, plan, needs);
  }
}

}  // namespace budwood::report
