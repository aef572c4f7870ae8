#include "plan/stock/lots.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "plan/plan.hpp"
#include "plan/stock/lot_taker.hpp"
#include "plan/stock/mothers.hpp"
#include "plan/stock/named.hpp"
#include "units/units.hpp"

namespace budwood::plan {

double LotTaking::plants() const {
  double sum = 0;
  for (const LotShare& share : shares) sum += share.plants;
  return sum;
}

namespace {

/// "`sow_stock` takes `stock_seed`: 312 of T-114, 88 % (176 of 200 on 2027-01-12)."
void note_taking(Plan& plan, const LotTaking& taking) {
  const BatchPlan& batch = plan.batches[taking.batch];
  const language::Protocol& protocol = plan.protocol_of(batch);
  std::vector<std::string> shares;
  for (const LotShare& share : taking.shares) shares.push_back(share_text(share, taking));
  plan.notes.push_back(
      {plan.facts_of(batch).id.value,
       "`" + protocol.stages[taking.stage].name + "` takes `" +
           protocol.supplies[taking.supply].name + "`: " + text::list_words(shares) + ".",
       taking.shares.front().facts == nullptr ? plan.facts_of(batch).span
                                              : taking.shares.front().facts->span});
}

}  // namespace

void take_lots(Plan& plan, text::Diagnostics& diagnostics) {
  const book::Site& site = plan.book->site;
  if (site.lots.empty() && site.mothers.empty()) return;
  check_named(plan, diagnostics);
  if (site.lots.empty()) return;
  LotTaker taker(plan);
  taker.run();
  plan.lots_of_batch.assign(plan.batches.size(), {});
  for (std::uint32_t i = 0; i < plan.lots.size(); ++i) {
    plan.lots_of_batch[plan.lots[i].batch].push_back(i);
  }
  for (const LotTaking& one : plan.lots) note_taking(plan, one);
  report_lots(plan, taker.passed_over(), diagnostics);
}

namespace {

/// The first taking of a batch of which something is so.
template <typename Wanted>
const LotTaking* find_taking(const Plan& plan, std::uint32_t batch, const Wanted& wanted) {
  if (plan.lots_of_batch.empty()) return nullptr;
  for (const std::uint32_t i : plan.lots_of_batch[batch]) {
    if (wanted(plan.lots[i])) return &plan.lots[i];
  }
  return nullptr;
}

}  // namespace

const LotTaking* taking_of(const Plan& plan, std::uint32_t batch, language::StageId stage,
                           const std::string& supply) {
  return find_taking(plan, batch, [&](const LotTaking& one) {
    return one.stage == stage &&
           plan.protocol_of(plan.batches[batch]).supplies[one.supply].name == supply;
  });
}

const LotTaking* taking_behind(const Plan& plan, std::uint32_t batch, language::InputId input) {
  return find_taking(plan, batch, [&](const LotTaking& one) {
    const bool tested = std::any_of(one.shares.begin(), one.shares.end(),
                                    [](const auto& share) { return !std::isnan(share.rate); });
    return tested && one.input.known() && one.input == input;
  });
}

std::vector<LotBalance> lot_balances(const Plan& plan) {
  std::vector<LotBalance> out;
  for (const auto& [supply, lots] : open_lots(plan)) {
    const std::size_t first = out.size();
    for (const OpenLot& lot : lots) {
      LotBalance balance;
      balance.lot = lot.name;
      balance.facts = lot.facts;
      balance.count = lot.count;
      balance.supply = lot.supply;
      out.push_back(std::move(balance));
    }
    for (std::size_t t = 0; t < plan.lots.size(); ++t) {
      const LotTaking& taking = plan.lots[t];
      for (std::size_t s = 0; s < taking.shares.size(); ++s) {
        for (std::size_t i = first; i < out.size(); ++i) {
          if (taking.shares[s].facts != out[i].facts) continue;
          out[i].taken += taking.shares[s].amount;
          if (taking.done) out[i].done += taking.shares[s].amount;
          out[i].parts.push_back({t, s});
        }
      }
    }
  }
  return out;
}

std::vector<std::size_t> takings_that_miss(const Plan& plan) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < plan.lots.size(); ++i) {
    const LotTaking& one = plan.lots[i];
    if (!one.done && !one.shares.empty() && one.shares.back().facts == nullptr) out.push_back(i);
  }
  return out;
}

std::vector<LotPiece> pieces_of(const LotTaking& taking, double from, double to) {
  std::vector<LotPiece> out;
  double begin = 0;
  for (const LotShare& share : taking.shares) {
    const double end = begin + share.plants;
    const double plants = std::min(to, end) - std::max(from, begin);
    if (plants > 0) out.push_back({&share, plants});
    begin = end;
  }
  return out;
}

std::vector<Origin> origins_of(const Plan& plan, const BatchPlan& batch) {
  const auto number = number_of(plan, batch);
  const language::Protocol& protocol = plan.protocol_of(batch);
  std::vector<Origin> out;
  std::map<std::string, std::vector<std::string>> taken;
  const auto takings =
      plan.lots_of_batch.empty() ? std::vector<std::uint32_t>{} : plan.lots_of_batch[number];
  for (const std::uint32_t i : takings) {
    const LotTaking& one = plan.lots[i];
    for (const LotShare& share : one.shares) {
      if (share.facts == nullptr) continue;
      std::vector<std::string>& names = taken[protocol.supplies[one.supply].name];
      if (std::find(names.begin(), names.end(), share.lot) == names.end()) {
        names.push_back(share.lot);
      }
    }
  }
  for (const std::string& supply : supplies_from_mothers(plan, number)) {
    taken.try_emplace(supply, std::vector{mothers_text(plan, number, supply)});
  }
  for (const auto& [supply, lot] : plan.facts_of(batch).lots) {
    if (!taken.contains(supply)) taken[supply] = {lot.value};
  }
  for (const auto& [supply, names] : taken) out.push_back({supply, text::list_words(names)});
  return out;
}

std::string test_text(const book::GerminationTest& test) {
  return std::to_string(test.good) + " of " + std::to_string(test.of) + " on " +
         calendar::iso_date(test.day);
}

std::string share_text(const LotShare& share, const LotTaking& taking) {
  const units::Unit percent = *units::find_unit("%");
  const std::string plants = units::format_number(share.plants);
  const std::string as_usual =
      taking.input.known() ? ", taken as " + units::format(taking.usual, percent, 3) : "";
  if (share.facts == nullptr) return plants + " still to be bought" + as_usual;
  const std::string of_lot = plants + " of " + share.lot;
  if (std::isnan(share.rate)) {
    return taking.input.known() ? of_lot + ", not tested" + as_usual : of_lot;
  }
  const double tested = share.facts->test->share();
  const bool less = std::abs(share.rate - tested) > 1e-9;
  return of_lot + ", " + units::format(share.rate, percent, 3) + " (" +
         test_text(*share.facts->test) +
         (less ? ", times the field factor of " + units::format(share.rate / tested, percent, 3)
               : "") +
         ")";
}

}  // namespace budwood::plan
