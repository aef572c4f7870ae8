#include "plan/needs/needs.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_map>

#include "plan/needs/crew_load.hpp"
#include "plan/needs/purchases.hpp"
#include "plan/needs/stock.hpp"
#include "plan/needs/supply_terms.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "sheet/site/site_sheets.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;

/// A use of a protocol's work, with everything looked up that does not depend on the batch.
struct UsePlace {
  std::size_t supply = 0;  ///< in the needs
  sheet::CellId amount = sheet::no_cell;
  double scrap = 0;
  bool counted = false;
  bool reused = false;
  sheet::Loan loan;
};

struct WorkSpot {
  std::size_t crew = 0;  ///< in the needs
  sheet::CellId time = sheet::no_cell;
  std::vector<UsePlace> uses;
};

/// The works of one protocol, by stage.
using WorkTable = std::vector<std::vector<WorkSpot>>;

class Counter {
 public:
  explicit Counter(const Plan& plan) : plan_(plan) {
    name_supplies();
    name_crews();
    for (const sheet::Sheet& sheet : plan.sheets) tables_.push_back(table_of(sheet));
  }

  Needs run() {
    for (std::size_t i = 0; i < plan_.orders.size(); ++i) count(static_cast<std::uint32_t>(i));
    // What no order asks for is no need.
    std::erase_if(needs_.supplies, [](const SupplyNeed& need) { return need.takings.empty(); });
    std::erase_if(needs_.crews, [](const CrewNeed& need) { return need.labour.empty(); });
    return std::move(needs_);
  }

 private:
  void name_supplies() {
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
      supplies_.emplace(name, needs_.supplies.size());
      needs_.supplies.push_back(std::move(need));
    }
  }

  void name_crews() {
    for (const sheet::Sheet& sheet : plan_.sheets) {
      for (const language::Stage& stage : sheet.layout().protocol.stages) {
        for (const language::Work& work : stage.works) crews_.emplace(work.crew, 0);
      }
    }
    const auto& known = plan_.book->site.crews;
    for (auto& [name, index] : crews_) {
      CrewNeed need;
      need.crew = name;
      if (const auto facts = known.find(name); facts != known.end()) {
        need.facts = &facts->second;
        if (facts->second.cost) need.cost = facts->second.cost->value;
      }
      index = needs_.crews.size();
      needs_.crews.push_back(std::move(need));
    }
  }

  WorkTable table_of(const sheet::Sheet& sheet) const {
    const sheet::Template& t = sheet.layout();
    WorkTable table(t.stages.size());
    for (std::size_t s = 0; s < t.stages.size(); ++s) {
      for (std::size_t w = 0; w < t.stages[s].works.size(); ++w) {
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

  UsePlace place_of(const language::Use& use, const sheet::UseCells& cells,
                    const sheet::Template& t) const {
    const language::Supply& supply = t.protocol.supplies[static_cast<std::size_t>(use.supply)];
    UsePlace place;
    place.supply = supplies_.at(supply.name);
    place.amount = cells.amount;
    place.scrap = needs_.supplies[place.supply].terms.scrap.value_or(supply.scrap);
    place.counted = supply.unit.dimension == units::count;
    place.reused = supply.reused;
    place.loan = sheet::loan_of(t, use);
    return place;
  }

  void count(std::uint32_t index) {
    const WorkOrder& order = plan_.orders[index];
    const BatchPlan& batch = plan_.batches[order.batch];
    const sheet::Sheet& sheet = plan_.sheet_of(batch);
    const WorkSpot& spot = tables_[batch.sheet][order.stage][order.work];
    // What has no value is a conflict of its batch.
    if (spot.time != sheet::no_cell) {
      const double seconds = sheet.value(spot.time, batch.row) / order.parts;
      if (seconds > 0) needs_.crews[spot.crew].labour.push_back({index, seconds});
    }
    for (std::size_t u = 0; u < spot.uses.size(); ++u) {
      const UsePlace& use = spot.uses[u];
      const double good = share_of(order, sheet.value(use.amount, batch.row));
      if (!(good > 0)) continue;
      Taking taking;
      taking.order = index;
      taking.use = static_cast<std::uint16_t>(u);
      taking.day = order.date;
      taking.amount = with_spare(use, good, order.batch);
      taking.spoilt = taking.amount - good;
      if (use.reused) {
        const auto back =
            static_cast<Day>(sheet.value(use.loan.date, batch.row)) + use.loan.days_after;
        taking.back = std::max(back, order.date + 1);
      }
      needs_.supplies[use.supply].takings.push_back(taking);
    }
  }

  /// What has to be taken so that `good` of it are good. Of what is counted the total of the batch
  /// is rounded up, so each order takes what this total grows by.
  double with_spare(const UsePlace& use, double good, std::uint32_t batch) {
    if (use.scrap <= 0) return good;
    const double share = 1 - use.scrap;
    if (!use.counted) return good / share;
    double& so_far = good_so_far_[std::uint64_t{batch} << 32U | use.supply];
    const double before = sheet::round_up(so_far / share);
    so_far += good;
    return sheet::round_up(so_far / share) - before;
  }

  const Plan& plan_;
  Needs needs_;
  std::map<std::string, std::size_t> supplies_;
  std::map<std::string, std::size_t> crews_;
  std::vector<WorkTable> tables_;                          ///< as Plan::sheets
  std::unordered_map<std::uint64_t, double> good_so_far_;  ///< by batch and supply
};

/// The most that is out at once, when that is, and who has it.
void find_peak(const Plan& plan, SupplyNeed& need, const std::vector<double>& held) {
  const std::size_t at = first_peak(held);
  if (at == held.size()) return;
  need.amount = held[at];
  need.peak_day = need.takings[at].day;
  std::map<std::uint32_t, double> shares;
  for (const Taking& taking : need.takings) {
    const double out = held_on(taking, need.peak_day);
    if (out > 0) shares[plan.orders[taking.order].batch] += out;
  }
  for (const auto& [batch, amount] : shares) need.peak.push_back({batch, amount});
}

void add_up(const Plan& plan, SupplyNeed& need, std::optional<Day> today) {
  const std::vector<double> held = held_after(need.takings, need.reused);
  for (const Taking& taking : need.takings) need.spoilt += taking.spoilt;
  if (need.reused) {
    find_peak(plan, need, held);
  } else if (!held.empty()) {
    need.amount = held.back();
  }
  if (need.pack > 0) need.packs = sheet::round_up(need.amount / need.pack);
  need.purchase = purchase_of(plan, need, held, today);
}

}  // namespace

Needs total_needs(const Plan& plan, std::optional<Day> today) {
  Needs needs = Counter(plan).run();
  for (SupplyNeed& need : needs.supplies) add_up(plan, need, today);
  for (CrewNeed& need : needs.crews) add_up(plan, need);
  return needs;
}

}  // namespace budwood::plan
