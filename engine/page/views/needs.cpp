#include <cmath>

#include "page/views/views.hpp"
#include "plan/needs/costs.hpp"
#include "plan/needs/needs.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/delivery_words.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::page {

namespace {

std::string amount_text(const plan::SupplyNeed& need, double base) {
  return units::format(base, need.unit);
}

Json purchase_json(const plan::Plan& plan, const plan::SupplyNeed& need) {
  if (!need.purchase) return nullptr;
  const plan::Purchase& purchase = *need.purchase;
  std::vector<std::string> short_of;
  for (const plan::Shortage& one : purchase.shortages) {
    short_of.push_back(report::batch_id(plan, one.batch));
  }
  return {{"amount", amount_text(need, purchase.amount)},
          {"packs", purchase.packs},
          {"cost", purchase.cost ? Json(report::money_text(*purchase.cost)) : Json(nullptr)},
          {"missing_on", calendar::iso_date(purchase.first.day)},
          {"missing_batch", report::batch_id(plan, purchase.first.batch)},
          {"order_by", purchase.order_by ? Json(calendar::iso_date(*purchase.order_by)) : Json()},
          {"late", purchase.late},
          {"comes", purchase.comes ? Json(calendar::iso_date(*purchase.comes)) : Json()},
          {"short", report::some_of(short_of, 8)}};
}

/// What to buy of whom, line by line.
Json deliveries_json(const plan::Needs& needs) {
  Json out = Json::array();
  for (const auto& [need, delivery] : report::deliveries_by_supplier(needs)) {
    out.push_back(
        {{"from", report::supplier_text(*delivery)},
         {"title", report::shown_name(*need)},
         {"amount", report::bought_text(*need, *delivery)},
         {"cost", delivery->cost ? Json(report::money_text(*delivery->cost)) : Json()},
         {"order_by", delivery->order_by ? Json(calendar::iso_date(*delivery->order_by)) : Json()},
         {"late", delivery->late},
         {"arrives", calendar::iso_date(delivery->arrives())},
         {"last", calendar::iso_date(delivery->last)}});
  }
  return out;
}

/// What is taken of each lot, and what is left.
Json lots_json(const plan::Plan& plan) {
  Json out = Json::array();
  for (const plan::LotBalance& lot : plan::lot_balances(plan)) {
    Json taken = Json::array();
    for (const plan::LotBalance::Part& part : lot.parts) {
      const plan::LotTaking& taking = plan.lots[part.taking];
      taken.push_back(
          {{"batch", report::batch_id(plan, taking.batch)},
           {"day", calendar::iso_date(taking.day)},
           {"amount", units::format(taking.shares[part.share].amount, lot.supply->unit)}});
    }
    const auto& use_by = lot.facts->use_by;
    out.push_back({{"lot", lot.lot},
                   {"title", report::shown_name(*lot.supply)},
                   {"test", lot.facts->test ? plan::test_text(*lot.facts->test) : "not tested"},
                   {"use_by", use_by ? Json(calendar::iso_date(use_by->value)) : Json(nullptr)},
                   {"count", units::format(lot.count, lot.supply->unit)},
                   {"left", units::format(lot.left(), lot.supply->unit)},
                   {"taken", std::move(taken)}});
  }
  return out;
}

Json finished_json(const plan::Plan& plan) {
  Json out = Json::array();
  for (const plan::FinishedStock& stock : plan.finished) {
    Json taken = Json::array();
    for (const plan::FinishedStock::Part& part : stock.parts) {
      taken.push_back({{"batch", report::batch_id(plan, part.batch)}, {"plants", part.plants}});
    }
    const bool ends = stock.until < calendar::last_day;
    out.push_back({{"name", stock.name},
                   {"of", stock.of},
                   {"until", ends ? Json(calendar::iso_date(stock.until)) : Json(nullptr)},
                   {"plants", stock.plants},
                   {"left", stock.left()},
                   {"taken", std::move(taken)}});
  }
  return out;
}

Json mothers_json(const plan::Plan& plan) {
  Json out = Json::array();
  for (const plan::MotherWeek& week : plan::mother_weeks(plan)) {
    out.push_back({{"mothers", week.mothers},
                   {"week", calendar::iso_week_text(week.monday)},
                   {"there", week.there},
                   {"taken", week.taken},
                   {"left", week.there - week.taken},
                   {"missing", week.missing}});
  }
  return out;
}

/// Heat and lamps of rooms of which the site says what they take.
Json energy_json(const plan::Plan& plan) {
  Json out = Json::array();
  for (const report::EnergyLine& line : report::energy_lines(plan)) {
    const units::Unit kwh = *units::find_unit("kWh");
    out.push_back({{"room", line.room},
                   {"what", line.what},
                   {"hours", line.hours > 0 ? Json(std::round(line.hours)) : Json(nullptr)},
                   {"amount", units::format(kwh.to_base(std::round(line.kwh)), kwh)},
                   {"cost", line.cost ? Json(report::money_text(*line.cost)) : Json(nullptr)}});
  }
  return out;
}

}  // namespace

Json needs_view(const Snapshot& now) {
  const plan::Needs needs = plan::total_needs(now.plan, now.book->today);
  Json supplies = Json::array();
  for (const plan::SupplyNeed& need : needs.supplies) {
    supplies.push_back(
        {{"name", need.supply},
         {"title", report::shown_name(need)},
         {"unit", need.unit.symbol},
         {"reused", need.reused},
         {"amount", amount_text(need, need.amount)},
         {"on_hand", amount_text(need, need.terms.on_hand)},
         {"orders", need.takings.size()},
         {"first", need.takings.empty() ? Json(nullptr)
                                        : Json(calendar::iso_date(need.takings.front().day))},
         {"made", need.made ? Json(amount_text(need, need.made->amount)) : Json(nullptr)},
         {"purchase", purchase_json(now.plan, need)}});
  }
  Json crews = Json::array();
  for (const plan::CrewNeed& crew : needs.crews) {
    Json overloads = Json::array();
    for (const plan::CrewOverload& one : crew.overloads) {
      std::vector<std::string> ids;
      for (const std::uint32_t batch : one.batches) {
        ids.push_back(report::batch_id(now.plan, batch));
      }
      overloads.push_back({{"day", calendar::iso_date(one.day)},
                           {"wanted", report::time_text(one.seconds)},
                           {"there", one.there > 0 ? report::time_text(one.there) : "nobody"},
                           {"batches", report::some_of(ids, 6)}});
    }
    crews.push_back({{"name", report::shown_crew(crew.crew)},
                     {"hours", report::time_text(crew.seconds)},
                     {"overloads", std::move(overloads)}});
  }
  const plan::Costs costs = plan::batch_costs(now.plan, needs);
  return {{"currency", report::currency_of(now.plan)},
          {"cost", report::money_text(costs.total())},
          {"cost_complete", costs.complete()},
          {"supplies", std::move(supplies)},
          {"crews", std::move(crews)},
          {"deliveries", deliveries_json(needs)},
          {"delivery_notes", report::delivery_notes(now.plan, needs)},
          {"energy", energy_json(now.plan)},
          {"lots", lots_json(now.plan)},
          {"mothers", mothers_json(now.plan)},
          {"finished", finished_json(now.plan)}};
}

}  // namespace budwood::page
