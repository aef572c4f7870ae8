#include "plan/stock/lot_taker.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "plan/needs/supply_terms.hpp"
#include "plan/stock/named.hpp"
#include "sheet/columns/given.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

namespace {

/// Starts and lots agree after two or three rounds; more is a circle.
constexpr int most_rounds = 8;
constexpr int most_tries = 40;

}  // namespace

std::map<std::string, std::vector<OpenLot>> open_lots(const Plan& plan) {
  std::map<std::string, std::vector<OpenLot>> out;
  const auto supplies = supplies_in_use(plan);
  text::Diagnostics reported_elsewhere;
  for (const auto& [name, lot] : plan.book->site.lots) {
    const auto supply = supplies.find(lot.of.value);
    if (supply == supplies.end()) continue;
    const double pack = supply_terms(plan.book->site, *supply->second, reported_elsewhere).pack;
    const auto count = written_amount(lot.count, *supply->second, pack, reported_elsewhere);
    if (count) out[supply->first].push_back({name, &lot, supply->second, *count, *count});
  }
  const auto turn = [](const OpenLot& one) {
    const auto& facts = *one.facts;
    return std::tuple(facts.use_by ? facts.use_by->value : calendar::last_day + 1,
                      facts.test ? facts.test->day : calendar::last_day + 1, one.name);
  };
  for (auto& [supply, lots] : out) {
    std::sort(lots.begin(), lots.end(),
              [&](const auto& one, const auto& other) { return turn(one) < turn(other); });
  }
  return out;
}

int test_holds(const book::Site& site, const std::string& supply) {
  const auto facts = site.supplies.find(supply);
  const bool said = facts != site.supplies.end() && facts->second.test_holds;
  return said ? *facts->second.test_holds : usual_test_holds;
}

LotTaker::LotTaker(Plan& plan) : plan_(plan), record_(plan), lots_(open_lots(plan)) {}

void LotTaker::run() {
  plan_.lots.clear();
  for (std::uint32_t i = 0; i < plan_.batches.size(); ++i) find_slots(i);
  // The lots are there for all: who is sown first takes first.
  std::vector<std::size_t> turns(plan_.lots.size());
  for (std::size_t i = 0; i < turns.size(); ++i) turns[i] = i;
  const auto turn = [&](std::size_t i) {
    const LotTaking& one = plan_.lots[i];
    return std::tuple(one.day, one.batch, one.stage.place(), one.supply.place());
  };
  std::sort(turns.begin(), turns.end(), [&](auto a, auto b) { return turn(a) < turn(b); });
  std::vector<LotTaking> takings;
  std::vector<Slot> slots;
  for (const std::size_t i : turns) {
    takings.push_back(std::move(plan_.lots[i]));
    slots.push_back(slots_[i]);
  }
  plan_.lots = std::move(takings);
  slots_ = std::move(slots);
  for (int i = 0; i < most_rounds; ++i) {
    round(true);
    bool agree = true;
    for (std::size_t one = 0; one < slots_.size(); ++one) {
      agree = agree && plan_.lots[one].plants() == plants_of(one);
    }
    if (agree) return;
  }
  // What is taken is what the sheet starts, by whatever a plant.
  round(false);
}

void LotTaker::round(bool tests_count) {
  for (auto& [supply, lots] : lots_) {
    for (OpenLot& lot : lots) lot.left = lot.count;
  }
  passed_over_.clear();
  for (std::size_t i = 0; i < slots_.size(); ++i) settle(i, tests_count);
}

void LotTaker::find_slots(std::uint32_t batch) {
  const BatchPlan& one = plan_.batches[batch];
  const sheet::Row row = plan_.row_of(one);
  if (!row.dated()) return;
  const language::Protocol& protocol = row.protocol();
  for (const language::StageId stage : protocol.stages.ids()) {
    std::set<std::size_t> supplies;
    for (const language::Work& work : protocol.stages[stage].works) {
      for (const language::Use& use : work.uses) {
        if (lots_.contains(protocol.supplies[use.supply].name)) {
          supplies.insert(use.supply.place());
        }
      }
    }
    for (const std::size_t supply : supplies) add_slot(batch, stage, language::SupplyId(supply));
  }
}

void LotTaker::add_slot(std::uint32_t batch, language::StageId stage, language::SupplyId supply) {
  const sheet::Row row = plan_.row_of(plan_.batches[batch]);
  const book::Batch& facts = plan_.facts_of(plan_.batches[batch]);
  const language::Supply& written = row.protocol().supplies[supply];
  const Named named = named_in(facts, written.name, plan_.book->site);
  const bool of_lots = std::any_of(named.names.begin(), named.names.end(), [&](const auto& name) {
    return plan_.book->site.lots.contains(name);
  });
  if (named.said && !of_lots) return;  // it has material of its own, or mother plants
  LotTaking taking;
  taking.batch = batch;
  taking.stage = stage;
  taking.supply = supply;
  taking.day = row.start(stage);
  if (facts.stopped && facts.stopped->value < taking.day) return;
  Slot slot;
  slot.plants = row.cells(stage).plants;
  const double plants = row.value(slot.plants);
  double amount = 0;
  const auto& works = row.stage(stage).works;
  for (const language::WorkId w : works.ids()) {
    for (std::size_t u = 0; u < works[w].uses.size(); ++u) {
      if (works[w].uses[u].supply != supply) continue;
      const sheet::WorkCells& cells = row.cells(stage, w);
      amount += row.value(cells.uses[u].amount) * row.value(cells.times, 1);
    }
  }
  if (!(plants > 0) || !(amount > 0)) return;
  slot.each = amount / plants;
  slot.counted = written.unit.dimension == units::count;
  text::Diagnostics reported_elsewhere;
  slot.spoilt =
      supply_terms(plan_.book->site, written, reported_elsewhere).scrap.value_or(written.scrap);
  const auto used = record_.used_in(facts, row.stage(stage), row.protocol(), written);
  taking.done = used.any_done;
  if (used.amount) {
    const double open = used.plants ? std::max(0.0, plants - *used.plants) : 0;
    slot.noted = *used.amount + open * slot.each / (1 - slot.spoilt);
  }
  choose_input(taking, slot);
  plan_.lots.push_back(std::move(taking));
  slots_.push_back(slot);
}

/// What comes up is told by the first stage from here on, among the same plants, that rests on an
/// input alone.
void LotTaker::choose_input(LotTaking& taking, Slot& slot) const {
  const sheet::Row row = plan_.row_of(plan_.batches[taking.batch]);
  const sheet::Template& t = row.layout();
  const std::string& supply = row.protocol().supplies[taking.supply].name;
  const auto& lots = lots_.at(supply);
  const bool tested = std::any_of(lots.begin(), lots.end(),
                                  [](const OpenLot& lot) { return lot.facts->test.has_value(); });
  if (!tested) return;
  for (const sheet::Chain& chain : t.chains) {
    auto at = std::find(chain.stages.begin(), chain.stages.end(), taking.stage);
    for (; at != chain.stages.end(); ++at) {
      const sheet::Evidence& evidence = t.stages[*at].evidence;
      if (!evidence.input.known()) continue;
      // What the batch says of itself goes before its lots.
      if (plan_.facts_of(plan_.batches[taking.batch])
              .set.contains(row.protocol().inputs[evidence.input].name)) {
        return;
      }
      taking.input = evidence.input;
      slot.evidence = evidence;
      slot.input = t.inputs[evidence.input];
      const double usual = row.value(slot.input);
      taking.usual = evidence.lost ? 1 - usual : usual;
      return;
    }
  }
}

double LotTaker::plants_of(std::size_t index) const {
  return plan_.row_of(plan_.batches[plan_.lots[index].batch]).value(slots_[index].plants);
}

double LotTaker::rate_of(const OpenLot& lot, const LotTaking& taking) const {
  if (!lot.facts->test || !taking.input.known()) return std::nan("");
  const auto facts = plan_.book->site.supplies.find(lot.facts->of.value);
  const bool said = facts != plan_.book->site.supplies.end() && facts->second.field_factor;
  return lot.facts->test->share() * (said ? facts->second.field_factor->value : 1);
}

LotFault LotTaker::fault_of(const OpenLot& lot, std::size_t index) const {
  const LotTaking& taking = plan_.lots[index];
  if (lot.facts->use_by && lot.facts->use_by->value < taking.day) return LotFault::expired;
  const double rate = rate_of(lot, taking);
  if (std::isnan(rate)) return LotFault::none;
  const language::Protocol& protocol = plan_.protocol_of(plan_.batches[taking.batch]);
  const language::Input& input = protocol.inputs[taking.input];
  const double value = slots_[index].evidence.lost ? 1 - rate : rate;
  if (input.lowest == language::no_formula) {
    return rate > 0 ? LotFault::none : LotFault::out_of_range;
  }
  const double low = protocol.node(input.lowest).value;
  const double high = protocol.node(input.highest).value;
  const double tolerance = units::slack(low, high);
  const bool fits = rate > 0 && value >= low - tolerance && value <= high + tolerance;
  return fits ? LotFault::none : LotFault::out_of_range;
}

/// So many plants, lot after lot; what no lot has comes last.
std::vector<LotShare> LotTaker::shares_for(std::size_t index, double plants) {
  const LotTaking& taking = plan_.lots[index];
  const Slot& slot = slots_[index];
  const BatchPlan& batch = plan_.batches[taking.batch];
  const book::Batch& facts = plan_.facts_of(batch);
  const std::string& supply = plan_.protocol_of(batch).supplies[taking.supply].name;
  const Named named = named_in(facts, supply, plan_.book->site);
  const double each =
      slot.noted && plants > 0 ? *slot.noted / plants : slot.each / (1 - slot.spoilt);
  std::vector<LotShare> out;
  double rest = plants;
  double before = 0;
  const auto add = [&](LotShare share) {
    // Of what is counted the total is rounded up once, as in the needs.
    const double so_far = (plants - rest + share.plants) * each;
    const double total = slot.counted ? units::round_up(so_far) : so_far;
    share.amount = total - before;
    before = total;
    rest -= share.plants;
    out.push_back(std::move(share));
  };
  for (const OpenLot& lot : lots_.at(supply)) {
    if (!(rest > 0)) break;
    if (!named.takes(lot.name, lot.facts->cultivar, facts.cultivar)) continue;
    if (lot.facts->counted && *lot.facts->counted > taking.day) continue;
    const double holds = each > 0 ? units::round_down(lot.left / each) : rest;
    if (holds < 1) continue;
    if (const LotFault fault = fault_of(lot, index); fault != LotFault::none) {
      const bool known = std::any_of(passed_over_.begin(), passed_over_.end(), [&](const auto& o) {
        return o.lot == lot.name && o.fault == fault;
      });
      if (!known) passed_over_.push_back({index, lot.name, fault, lot.left});
      continue;
    }
    LotShare share;
    share.lot = lot.name;
    share.facts = lot.facts;
    share.plants = std::min(rest, holds);
    share.rate = rate_of(lot, taking);
    add(std::move(share));
  }
  if (rest > 0) {
    LotShare missing;
    missing.plants = rest;
    add(std::move(missing));
  }
  return out;
}

/// Gives the batch what the shares say together; false where no test says anything.
bool LotTaker::set_input(std::size_t index, const std::vector<LotShare>& shares) {
  const LotTaking& taking = plan_.lots[index];
  const Slot& slot = slots_[index];
  if (!taking.input.known()) return false;
  double plants = 0;
  double coming = 0;
  bool tested = false;
  for (const LotShare& share : shares) {
    plants += share.plants;
    coming += share.plants * (std::isnan(share.rate) ? taking.usual : share.rate);
    tested = tested || !std::isnan(share.rate);
  }
  const BatchPlan& batch = plan_.batches[taking.batch];
  sheet::Sheet& sheet = plan_.sheets[batch.sheet];
  sheet::BatchFacts facts = sheet.batch(batch.row);
  const sheet::Template& t = sheet.layout();
  if (!tested) {
    if (!facts.by_lots(slot.input)) return false;
    sheet::take_back(t, slot.input, facts.inputs);
    std::erase(facts.from_lots, slot.input);
    sheet.change(batch.row, std::move(facts));
    return false;
  }
  const double rate = coming / plants;
  // How well the mean of all is known, as a count of its own: each test by the plants of its lot.
  double variance = 0;
  for (const LotShare& share : shares) {
    if (std::isnan(share.rate)) continue;
    const double weight = share.plants / plants;
    variance += weight * weight * share.rate * (1 - share.rate) /
                static_cast<double>(share.facts->test->of);
  }
  const bool one_lot = shares.size() == 1;
  const double seen = one_lot        ? static_cast<double>(shares.front().facts->test->of)
                      : variance > 0 ? std::floor(rate * (1 - rate) / variance)
                                     : 0;
  const double good = std::floor(rate * seen + 1e-9);
  const double value = slot.evidence.lost ? 1 - rate : rate;
  sheet::give(t, slot.input, value, {slot.evidence.lost ? seen - good : good, seen, 0, {}},
              facts.inputs);
  if (!facts.by_lots(slot.input)) facts.from_lots.push_back(slot.input);
  sheet.change(batch.row, std::move(facts));
  return true;
}

void LotTaker::settle(std::size_t index, bool tests_count) {
  double plants = plants_of(index);
  std::set<double> tried;
  std::vector<LotShare> shares = shares_for(index, plants);
  for (int i = 0; tests_count && i < most_tries; ++i) {
    if (!set_input(index, shares)) break;
    const double now = plants_of(index);
    if (now == plants || std::isnan(now)) break;
    if (!tried.insert(plants).second || tried.contains(now)) {
      // Fewer are enough with more of the better lot, and the other way round. More are taken,
      // at the lower rate.
      set_input(index, shares_for(index, std::min(now, plants)));
      const double more = std::max(now, plants_of(index));
      shares = shares_for(index, std::isnan(more) ? plants : plants_of(index));
      break;
    }
    plants = now;
    shares = shares_for(index, plants);
  }
  take(index, std::move(shares));
}

void LotTaker::take(std::size_t index, std::vector<LotShare> shares) {
  LotTaking& taking = plan_.lots[index];
  const std::string& supply =
      plan_.protocol_of(plan_.batches[taking.batch]).supplies[taking.supply].name;
  for (OpenLot& lot : lots_.at(supply)) {
    for (const LotShare& share : shares) {
      if (share.lot == lot.name) lot.left = std::max(0.0, lot.left - share.amount);
    }
  }
  taking.shares = std::move(shares);
}

}  // namespace budwood::plan
