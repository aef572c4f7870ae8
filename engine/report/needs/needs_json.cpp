#include <cmath>

#include "plan/needs/costs.hpp"
#include "plan/needs/margins.hpp"
#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"
#include "report/formats/writers.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using Layout = JsonWriter::Layout;

void write_date(JsonWriter& json, std::string_view key, const std::optional<calendar::Day>& day) {
  if (day) {
    json.date(key, *day);
  } else {
    json.null(key);
  }
}

/// An amount that only means something where a supply has packs, or comes back.
std::optional<double> only_if(bool there, double value) {
  return there ? std::optional(value) : std::nullopt;
}

/// All keys are there even when nothing has to be bought.
void write_purchase(JsonWriter& json, const plan::Plan& plan, const plan::SupplyNeed& need) {
  const bool any = need.purchase.has_value();
  const plan::Purchase purchase = need.purchase.value_or(plan::Purchase{});
  json.number("buy", need.unit.from_base(purchase.amount));
  json.number("buy_packs", only_if(need.pack > 0 && (!any || purchase.packs > 0), purchase.packs));
  json.number("cost", purchase.cost);
  write_date(json, "missing_on", any ? std::optional(purchase.first.day) : std::nullopt);
  if (any) {
    json.text("missing_batch", batch_id(plan, purchase.first.batch));
  } else {
    json.null("missing_batch");
  }
  write_date(json, "order_by", purchase.order_by);
  json.flag("late", purchase.late);
  write_date(json, "comes", purchase.comes);
  json.begin_list("short");
  for (const plan::Shortage& shortage : purchase.shortages) {
    json.begin_object();
    json.text("batch", batch_id(plan, shortage.batch));
    json.date("date", shortage.day);
    json.end();
  }
  json.end();
}

/// Where there is more to say than of the purchase as a whole.
void write_deliveries(JsonWriter& json, const plan::SupplyNeed& need) {
  if (!need.purchase) return;
  json.begin_list("deliveries", Layout::lines);
  for (const plan::Delivery& one : need.purchase->deliveries) {
    json.begin_object();
    json.text("supplier", one.supplier);
    json.number("amount", need.unit.from_base(one.amount));
    json.number("packs", only_if(one.pack > 0, one.packs));
    json.number("pack", only_if(one.pack > 0, need.unit.from_base(one.pack)));
    json.number("cost", one.cost);
    write_date(json, "order_by", one.order_by);
    json.flag("late", one.late);
    json.date("arrives", one.arrives());
    json.date("used_from", one.first.day);
    json.date("used_to", one.last);
    json.number("over", need.unit.from_base(one.over));
    json.flag("spoils", one.spoils && one.over > 0);
    json.end();
  }
  json.end();
}

/// Only where some of what is on hand is not used in time.
void write_expiring(JsonWriter& json, const plan::SupplyNeed& need) {
  if (need.expires.empty()) return;
  json.begin_list("expires");
  for (const plan::OnHand& one : need.expires) {
    json.begin_object();
    json.number("amount", need.unit.from_base(one.amount));
    write_date(json, "use_by", one.use_by);
    json.end();
  }
  json.end();
}

void write_peak(JsonWriter& json, const plan::Plan& plan, const plan::SupplyNeed& need) {
  write_date(json, "peak_date",
             need.reused ? std::optional(need.peak_day) : std::optional<calendar::Day>());
  json.begin_list("peak");
  for (const plan::PeakShare& share : need.peak) {
    json.begin_object();
    json.text("batch", batch_id(plan, share.batch));
    json.number("amount", need.unit.from_base(share.amount));
    json.end();
  }
  json.end();
}

void write_takings(JsonWriter& json, const plan::Plan& plan, const plan::SupplyNeed& need) {
  json.begin_list("orders", Layout::lines);
  for (const plan::Taking& taking : need.takings) {
    json.begin_object();
    json.text("order", plan::order_id(plan, plan.orders[taking.order]));
    json.date("date", taking.day);
    write_date(json, "back",
               need.reused ? std::optional(taking.back) : std::optional<calendar::Day>());
    json.number("amount", need.unit.from_base(taking.amount));
    json.number("spoilt", need.unit.from_base(taking.spoilt));
    json.text("rule", rule_text(plan, taking));
    json.place("line", line_of(plan, taking));
    json.end();
  }
  json.end();
}

void write_supply(JsonWriter& json, const plan::Plan& plan, const plan::SupplyNeed& need,
                  bool explain) {
  json.begin_object();
  json.text("supply", need.supply);
  json.text("title", need.title);
  json.number("amount", need.unit.from_base(need.amount));
  json.text("unit", need.unit.symbol);
  json.flag("reused", need.reused);
  json.number("pack", only_if(need.pack > 0, need.unit.from_base(need.pack)));
  json.number("packs", only_if(need.pack > 0, need.packs));
  json.number("spoilt", need.unit.from_base(need.spoilt));
  write_peak(json, plan, need);
  json.number("on_hand", need.unit.from_base(need.terms.on_hand));
  write_purchase(json, plan, need);
  write_deliveries(json, need);
  write_expiring(json, need);
  if (need.made) {
    json.begin_object("made");
    json.number("amount", need.unit.from_base(need.made->amount));
    json.number("times", need.made->times);
    json.end();
  }
  if (explain) write_takings(json, plan, need);
  json.end();
}

void write_crew(JsonWriter& json, const plan::Plan& plan, const plan::CrewNeed& need) {
  json.begin_object();
  json.text("crew", need.crew);
  json.number("person_hours", need.seconds / units::seconds_an_hour);
  json.begin_list("short", need.overloads.empty() ? Layout::line : Layout::lines);
  for (const plan::CrewOverload& over : need.overloads) {
    json.begin_object();
    json.date("date", over.day);
    json.number("wanted", over.seconds / units::seconds_an_hour);
    json.number("there", over.there / units::seconds_an_hour);
    std::vector<std::string> ids;
    for (const std::uint32_t batch : over.batches) ids.push_back(batch_id(plan, batch));
    json.texts("batches", ids);
    json.end();
  }
  json.end();
  json.end();
}

void write_groups(JsonWriter& json, const plan::Plan& plan, const plan::Needs& needs,
                  plan::Grouping grouping) {
  const std::string word(grouping_word(grouping));
  json.begin_list("by_" + word, Layout::lines);
  for (const plan::NeedsGroup& group : plan::group_needs(plan, needs, grouping)) {
    json.begin_object();
    json.text(word, group_name(plan, group, grouping));
    if (grouping == plan::Grouping::week) json.date("monday", group.first);
    json.begin_list("supplies");
    for (const plan::GroupShare& share : group.supplies) {
      const plan::SupplyNeed& need = needs.supplies[share.index];
      json.begin_object();
      json.text("supply", need.supply);
      json.number("amount", need.unit.from_base(share.amount));
      json.text("unit", need.unit.symbol);
      json.end();
    }
    json.end();
    json.begin_list("crews");
    for (const plan::GroupShare& share : group.crews) {
      json.begin_object();
      json.text("crew", needs.crews[share.index].crew);
      json.number("person_hours", share.amount / units::seconds_an_hour);
      json.end();
    }
    json.end();
    json.end();
  }
  json.end();
}

void write_part(JsonWriter& json, const plan::Plan& plan, const plan::LotTaking& taking,
                const plan::LotShare& share) {
  const language::Protocol& protocol = plan.protocol_of(plan.batches[taking.batch]);
  json.begin_object();
  json.text("batch", batch_id(plan, taking.batch));
  json.text("stage", protocol.stages[taking.stage].name);
  json.date("date", taking.day);
  json.number("plants", share.plants);
  json.number("rate", std::isnan(share.rate) ? taking.usual : share.rate);
  json.number("amount", protocol.supplies[taking.supply].unit.from_base(share.amount));
  json.flag("done", taking.done);
  json.end();
}

/// Only of a site that has lots.
void write_lots(JsonWriter& json, const plan::Plan& plan) {
  if (plan.book->site.lots.empty()) return;
  json.begin_list("lots", Layout::lines);
  for (const plan::LotBalance& lot : plan::lot_balances(plan)) {
    const units::Unit& unit = lot.supply->unit;
    json.begin_object();
    json.text("lot", lot.lot);
    json.text("supply", lot.supply->name);
    json.number("count", unit.from_base(lot.count));
    json.text("unit", unit.symbol);
    const auto& test = lot.facts->test;
    json.number("good", test ? std::optional(static_cast<double>(test->good)) : std::nullopt);
    json.number("tested", test ? std::optional(static_cast<double>(test->of)) : std::nullopt);
    write_date(json, "test_date", test ? std::optional(test->day) : std::nullopt);
    write_date(json, "use_by",
               lot.facts->use_by ? std::optional(lot.facts->use_by->value) : std::nullopt);
    json.begin_list("taken", Layout::lines);
    for (const plan::LotBalance::Part& one : lot.parts) {
      write_part(json, plan, plan.lots[one.taking], plan.lots[one.taking].shares[one.share]);
    }
    json.end();
    json.number("left", unit.from_base(lot.left()));
    json.end();
  }
  json.end();
  json.begin_list("not_in_lots", Layout::lines);
  for (const std::size_t i : plan::takings_that_miss(plan)) {
    write_part(json, plan, plan.lots[i], plan.lots[i].shares.back());
  }
  json.end();
}

/// Only of a site that has mother plants.
void write_mothers(JsonWriter& json, const plan::Plan& plan) {
  const auto& all = plan.book->site.mothers;
  if (all.empty()) return;
  json.begin_list("mothers", Layout::lines);
  for (const auto& [name, mothers] : all) {
    json.begin_object();
    json.text("mothers", name);
    json.text("supply", mothers.of.value);
    json.number("plants", static_cast<double>(mothers.plants));
    json.number("generation", mothers.generation
                                  ? std::optional(static_cast<double>(mothers.generation->value))
                                  : std::nullopt);
    write_date(json, "renew_by", plan::renewal_of(mothers));
    json.begin_list("weeks", Layout::lines);
    for (const plan::MotherWeek& week : plan::mother_weeks(plan)) {
      if (week.mothers != name) continue;
      json.begin_object();
      json.text("week", calendar::iso_week_text(week.monday));
      json.date("monday", week.monday);
      json.number("there", week.there);
      json.number("taken", week.taken);
      json.number("left", week.there - week.taken);
      json.number("missing", week.missing);
      json.end();
    }
    json.end();
    json.end();
  }
  json.end();
}

/// Only of a site that has finished plants.
void write_finished(JsonWriter& json, const plan::Plan& plan) {
  if (plan.finished.empty()) return;
  json.begin_list("finished", Layout::lines);
  for (const plan::FinishedStock& stock : plan.finished) {
    json.begin_object();
    json.text(stock.facts == nullptr ? "over_of" : "finished", stock.name);
    json.text("protocol", stock.of);
    if (!stock.cultivar.empty()) json.text("cultivar", stock.cultivar);
    write_date(json, "from",
               stock.from > calendar::first_day ? std::optional(stock.from) : std::nullopt);
    write_date(json, "until",
               stock.until < calendar::last_day ? std::optional(stock.until) : std::nullopt);
    json.number("plants", stock.plants);
    json.begin_list("taken");
    for (const plan::FinishedStock::Part& part : stock.parts) {
      json.begin_object();
      json.text("batch", batch_id(plan, part.batch));
      json.number("plants", part.plants);
      json.end();
    }
    json.end();
    json.number("left", stock.left());
    json.end();
  }
  json.end();
}

/// Only where the site says what rooms and lamps take.
void write_energy(JsonWriter& json, const plan::Plan& plan) {
  const std::vector<EnergyLine> lines = energy_lines(plan);
  if (lines.empty()) return;
  json.begin_list("energy", Layout::lines);
  for (const EnergyLine& line : lines) {
    json.begin_object();
    json.text("room", line.room);
    json.text("for", line.what);
    json.number("lamp_hours", only_if(line.hours > 0, line.hours));
    json.number("kwh", line.kwh);
    json.number("cost", line.cost);
    json.end();
  }
  json.end();
}

void write_costs(JsonWriter& json, const plan::Plan& plan, const plan::Needs& needs) {
  const plan::Costs costs = plan::batch_costs(plan, needs);
  json.begin_list("costs", Layout::lines);
  for (const plan::BatchCost& cost : costs.batches) {
    json.begin_object();
    json.text("batch", batch_id(plan, cost.batch));
    json.number("supplies", cost.supplies);
    json.number("labour", cost.labour);
    json.number("energy", cost.energy);
    json.number("total", cost.total());
    json.number("a_plant", cost.a_plant);
    json.flag("complete", cost.complete);
    json.begin_list("stages");
    for (const plan::StageCost& stage : cost.stages) {
      json.begin_object();
      json.text("stage", plan.protocol_of(plan.batches[cost.batch]).stages[stage.stage].name);
      json.number("supplies", stage.supplies);
      json.number("labour", stage.labour);
      json.number("energy", stage.energy);
      json.flag("complete", stage.complete);
      json.end();
    }
    json.end();
    json.end();
  }
  json.end();
  json.number("costs_total", costs.total());
  json.texts("unpriced_supplies", costs.unpriced_supplies);
  json.texts("unpriced_crews", costs.unpriced_crews);
  json.texts("unpriced_energy", costs.unpriced_energy);
  json.begin_list("one_percent_more", Layout::lines);
  for (const plan::Margin& margin : plan::margins(plan)) {
    json.begin_object();
    json.text("batch", batch_id(plan, margin.batch));
    json.text("input", margin.input);
    json.number("saving", margin.saving);
    json.number("fewer_starts", margin.fewer);
    json.end();
  }
  json.end();
}

}  // namespace

void write_needs_json(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                      const NeedsView& view) {
  JsonWriter json(out);
  json.begin_object(Layout::lines);
  json.text("site", plan.book->site.name.value);
  json.text("currency", currency_of(plan));
  json.begin_list("supplies", Layout::lines);
  for (const plan::SupplyNeed& need : needs.supplies) {
    write_supply(json, plan, need, view.explain);
  }
  json.end();
  json.begin_list("crews", Layout::lines);
  for (const plan::CrewNeed& need : needs.crews) write_crew(json, plan, need);
  json.end();
  write_energy(json, plan);
  write_lots(json, plan);
  write_mothers(json, plan);
  write_finished(json, plan);
  if (view.by != plan::Grouping::all) write_groups(json, plan, needs, view.by);
  if (view.costs) write_costs(json, plan, needs);
  json.end();
}

}  // namespace budwood::report
