#include "plan/needs/needs_counter.hpp"

#include <algorithm>

#include "plan/needs/supply_terms.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "units/measured.hpp"

namespace budwood::plan {

using calendar::Day;

NeedsCounter::NeedsCounter(const Plan& plan) : plan_(plan) {
  name_supplies();
  name_crews();
  for (const sheet::Sheet& sheet : plan.sheets) tables_.push_back(table_of(sheet));
}

Needs NeedsCounter::count(std::span<const std::uint32_t> orders, const sheet::Sheet* values) const {
  Needs needs = named_;
  SoFar so_far;
  for (const std::uint32_t index : orders) count(index, values, needs, so_far);
  // What no order asks for is no need.
  std::erase_if(needs.supplies, [](const SupplyNeed& need) { return need.takings.empty(); });
  std::erase_if(needs.crews, [](const CrewNeed& need) { return need.labour.empty(); });
  return needs;
}

void NeedsCounter::add_for_recipes(Needs& needs) const {
  const auto add_supply = [&](const std::string& name) {
    const bool known = std::any_of(needs.supplies.begin(), needs.supplies.end(),
                                   [&](const auto& one) { return one.supply == name; });
    if (!known) needs.supplies.push_back(named_.supplies[supplies_.at(name)]);
  };
  for (const BookRecipe& of : plan_.recipes) {
    add_supply(of.supply().name);
    for (std::size_t i = 0; i < of.recipe->of.size(); ++i) add_supply(of.part(i).name);
    const bool known = std::any_of(needs.crews.begin(), needs.crews.end(),
                                   [&](const auto& one) { return one.crew == of.recipe->crew; });
    if (!known) needs.crews.push_back(named_.crews[crews_.at(of.recipe->crew)]);
  }
  std::sort(needs.supplies.begin(), needs.supplies.end(),
            [](const auto& one, const auto& other) { return one.supply < other.supply; });
  std::sort(needs.crews.begin(), needs.crews.end(),
            [](const auto& one, const auto& other) { return one.crew < other.crew; });
}

void NeedsCounter::name_supplies() {
  std::map<std::string, const language::Supply*> all;
  for (const sheet::Sheet& sheet : plan_.sheets) {
    for (const language::Supply& supply : sheet.layout().protocol.supplies) {
      all.try_emplace(supply.name, &supply);
    }
  }
  // `check_site_supplies` reports; here the same mistakes are only left out.
  text::Diagnostics reported_elsewhere;
  for (const auto& [name, supply] : all) {
    SupplyNeed need;
    need.supply = name;
    need.title = supply->title;
    need.unit = supply->unit;
    need.reused = supply->reused;
    need.terms = supply_terms(plan_.book->site, *supply, reported_elsewhere);
    need.pack = need.terms.pack;
    supplies_.emplace(name, named_.supplies.size());
    named_.supplies.push_back(std::move(need));
  }
  price_made();
}

/// What is made costs what it is made of, where the site does not say.
void NeedsCounter::price_made() {
  for (auto of = plan_.recipes.rbegin(); of != plan_.recipes.rend(); ++of) {
    SupplyTerms& terms = named_.supplies[supplies_.at(of->supply().name)].terms;
    double price = 0;
    bool known = !terms.price;
    for (std::size_t i = 0; i < of->recipe->of.size() && known; ++i) {
      const SupplyTerms& part = named_.supplies[supplies_.at(of->part(i).name)].terms;
      known = part.price.has_value();
      const double good = 1 - part.scrap.value_or(of->part(i).scrap);
      price += part.price.value_or(0) * of->recipe->of[i].amount / of->recipe->makes / good;
    }
    if (known) terms.price = price;
  }
}

void NeedsCounter::name_crews() {
  for (const sheet::Sheet& sheet : plan_.sheets) {
    for (const language::Stage& stage : sheet.layout().protocol.stages) {
      for (const language::Work& work : stage.works) crews_.emplace(work.crew, 0);
    }
  }
  for (const BookRecipe& of : plan_.recipes) crews_.emplace(of.recipe->crew, 0);
  const auto& known = plan_.book->site.crews;
  for (const auto& [name, crew] : known) {
    if (crew.duty) crews_.emplace(name, 0);
  }
  for (auto& [name, index] : crews_) {
    CrewNeed need;
    need.crew = name;
    if (const auto facts = known.find(name); facts != known.end()) {
      need.facts = &facts->second;
      if (facts->second.cost) need.cost = facts->second.cost->value;
    }
    index = named_.crews.size();
    named_.crews.push_back(std::move(need));
  }
}

NeedsCounter::WorkTable NeedsCounter::table_of(const sheet::Sheet& sheet) const {
  const sheet::Template& t = sheet.layout();
  WorkTable table(t.stages.size());
  for (const language::StageId s : t.stages.ids()) {
    for (const language::WorkId w : t.stages[s].works.ids()) {
      const language::Work& work = t.protocol.stages[s].works[w];
      const sheet::WorkCells& cells = t.stages[s].works[w];
      WorkSpot spot;
      spot.crew = crews_.at(work.crew);
      spot.time = cells.time;
      for (std::size_t u = 0; u < work.uses.size(); ++u) {
        spot.uses.push_back(place_of(work.uses[u], cells.uses[u], t));
      }
      table[s].push_back(std::move(spot));
    }
  }
  return table;
}

NeedsCounter::UsePlace NeedsCounter::place_of(const language::Use& use,
                                              const sheet::UseCells& cells,
                                              const sheet::Template& t) const {
  const language::Supply& supply = t.protocol.supplies[use.supply];
  UsePlace place;
  place.supply = supplies_.at(supply.name);
  place.cells = cells;
  place.scrap = named_.supplies[place.supply].terms.scrap.value_or(supply.scrap);
  place.unit = supply.unit;
  place.counted = supply.unit.dimension == units::count;
  place.reused = supply.reused;
  place.loan = sheet::loan_of(t, use);
  return place;
}

void NeedsCounter::count(std::uint32_t index, const sheet::Sheet* values, Needs& needs,
                         SoFar& so_far) const {
  const WorkOrder& order = plan_.orders[index];
  const BatchPlan& batch = plan_.batches[order.batch];
  const sheet::Row row(values == nullptr ? plan_.sheet_of(batch) : *values, batch.row);
  const WorkSpot& spot = tables_[batch.sheet][order.stage][order.work];
  // What has no value is a conflict of its batch.
  const double seconds = row.value(spot.time, 0) / order.parts;
  const auto duty = order.on_duty ? crews_.find(crew_of(plan_, order)) : crews_.end();
  const std::size_t crew = duty == crews_.end() ? spot.crew : duty->second;
  if (seconds > 0) needs.crews[crew].labour.push_back({index, seconds, order.date, -1});
  for (std::size_t u = 0; u < spot.uses.size(); ++u) {
    const UsePlace& use = spot.uses[u];
    const double good = units::measured(use_of(plan_, order, row, use.cells), use.unit);
    if (!(good > 0)) continue;
    Taking taking;
    taking.order = index;
    taking.use = static_cast<std::uint16_t>(u);
    taking.day = order.date;
    taking.amount = with_spare(use, good, order.batch, so_far);
    taking.spoilt = taking.amount - good;
    if (use.reused) {
      taking.back = std::max(row.day(use.loan.date) + use.loan.days_after, order.date + 1);
    }
    needs.supplies[use.supply].takings.push_back(taking);
  }
}

/// What has to be taken so that `good` of it are good. Of what is counted the total of the batch is
/// rounded up, so each order takes what this total grows by.
double NeedsCounter::with_spare(const UsePlace& use, double good, std::uint32_t batch,
                                SoFar& so_far) {
  if (use.scrap <= 0) return good;
  const double share = 1 - use.scrap;
  if (!use.counted) return units::measured(good / share, use.unit);
  double& taken = so_far[std::uint64_t{batch} << 32U | use.supply];
  const double before = sheet::round_up(taken / share);
  taken += good;
  return sheet::round_up(taken / share) - before;
}

}  // namespace budwood::plan
