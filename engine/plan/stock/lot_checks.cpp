#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "book/stock/supplies.hpp"
#include "plan/needs/supply_terms.hpp"
#include "plan/stock/lot_taker.hpp"
#include "plan/stock/named.hpp"
#include "sheet/sheet.hpp"
#include "units/units.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;
using calendar::short_date;

class LotTeller {
 public:
  LotTeller(const Plan& plan, const std::vector<PassedOver>& passed_over,
            text::Diagnostics& diagnostics)
      : plan_(plan), site_(plan.book->site), passed_over_(passed_over), diagnostics_(diagnostics) {}

  void tell() {
    check_supplies();
    check_stock();
    check_noted();
    for (const PassedOver& one : passed_over_) tell_passed_over(one);
    for (const LotBalance& one : lot_balances(plan_)) tell_tests(one);
    tell_missing();
  }

 private:
  const book::Batch& batch_of(const LotTaking& taking) const {
    return plan_.facts_of(plan_.batches[taking.batch]);
  }
  const language::Supply& supply_of(const LotTaking& taking) const {
    return plan_.protocol_of(plan_.batches[taking.batch]).supplies[taking.supply];
  }
  /// "when TG27-1 takes it on Mon 2027-02-08".
  std::string when(const LotTaking& taking) const {
    return "when " + batch_of(taking).id.value + " takes of it on " + short_date(taking.day);
  }

  /// Lots of supplies that no protocol has, and counts that are no amounts of them.
  void check_supplies() {
    const auto known = supplies_of(plan_);
    for (const auto& [name, lot] : site_.lots) {
      const auto supply = known.find(lot.of.value);
      if (supply == known.end()) {
        book::report_unknown_supply(known, plan_.book->left_out, lot.of, diagnostics_);
        continue;
      }
      text::Diagnostics of_supplies;
      const double pack = supply_terms(site_, *supply->second, of_supplies).pack;
      written_amount(lot.count, *supply->second, pack, diagnostics_);
    }
  }

  /// What is on hand of a supply is in its lots, or is told in one number.
  void check_stock() {
    for (const auto& [name, lot] : site_.lots) {
      const auto facts = site_.supplies.find(lot.of.value);
      if (facts == site_.supplies.end() || !facts->second.on_hand) continue;
      if (!counted_twice_.insert(lot.of.value).second) continue;
      diagnostics_.add({text::Severity::error,
                        "two-stocks",
                        facts->second.on_hand->span,
                        "What is on hand of `" + lot.of.value + "` is in its lots already.",
                        "Take out `on_hand`, and give each lot its `count`.",
                        {{lot.span, "a lot of it"}}});
    }
  }

  /// What is noted of stock is of a supply, and nobody knows of which lot.
  void check_noted() {
    for (const record::Entry& entry : plan_.book->history) {
      if (!record::is_of_stock(entry.what)) continue;
      const text::Span lots = lots_of(entry.name);
      if (lots.source == nullptr || !counted_twice_.insert(entry.name).second) continue;
      diagnostics_.warning(
          "stock-by-lot", lots,
          "What was noted of the stock of `" + entry.name +
              "` does not say of which lot, and is passed over.",
          "Write it at the lot, such as `count: 1480 on " + calendar::iso_date(entry.day) + "`.");
    }
  }

  void tell_passed_over(const PassedOver& one) {
    const book::Lot& lot = site_.lots.at(one.lot);
    const LotTaking& taking = plan_.lots[one.taking];
    const std::string left = units::format(one.left, supply_of(taking).unit);
    if (one.fault == LotFault::expired) {
      diagnostics_.warning("expired-lot", lot.use_by->span,
                           "Lot `" + one.lot + "` has expired " + when(taking) + "; " + left +
                               " of it are left and are not taken.",
                           "Use it earlier, throw it out, or test it again and write a later "
                           "`use_by`.");
      return;
    }
    const language::Protocol& protocol = plan_.protocol_of(plan_.batches[taking.batch]);
    const language::Input& input = protocol.inputs[taking.input];
    std::string range;
    if (input.lowest != language::no_formula) {
      range = ", and `" + input.name + "` of `" + protocol.name + "` goes from " +
              units::format(protocol.node(input.lowest).value, input.unit) + " to " +
              units::format(protocol.node(input.highest).value, input.unit);
    }
    diagnostics_.warning("lot-out-of-range", lot.test->span,
                         "Lot `" + one.lot + "` is not taken: its test gives " +
                             units::format(lot.test->share(), *units::find_unit("%"), 3) + range +
                             ".",
                         "Throw the lot out, or widen the range in the protocol.");
  }

  /// Lots that are taken without a test, or with an old one, each told with its first batch.
  void tell_tests(const LotBalance& balance) {
    if (balance.parts.empty()) return;
    const LotTaking& first = plan_.lots[balance.parts.front().taking];
    const book::Lot& lot = *balance.facts;
    if (!lot.test) {
      if (!wants_test(balance)) return;
      diagnostics_.warning("untested-lot", lot.span,
                           "Lot `" + balance.lot + "` was not tested; " + batch_of(first).id.value +
                               " is sown from it on " + short_date(first.day) +
                               " as if it came up as usual.",
                           "Lay out 100 to 200 seeds before, and write `test: 176 of 200 on " +
                               calendar::iso_date(first.day - 21) + "`.");
      return;
    }
    if (!first.input.known()) {
      tell_unused_test(balance, first);
      return;
    }
    const int holds = test_holds(site_, lot.of.value);
    for (const LotBalance::Part& part : balance.parts) {
      const LotTaking& taking = plan_.lots[part.taking];
      if (taking.done || taking.day - lot.test->day <= holds) continue;
      diagnostics_.warning("old-test", lot.test->span,
                           "The test of lot `" + balance.lot + "` is " +
                               calendar::days_text(taking.day - lot.test->day) + " old " +
                               when(taking) + "; tests hold for " + calendar::days_text(holds) +
                               ".",
                           "Test the lot again before that day, and write the new count and day.");
      return;
    }
  }

  /// Whether people test such a supply: seed, and whatever another lot of it was tested of.
  bool wants_test(const LotBalance& balance) const {
    if (balance.supply->unit.noun == "seeds") return true;
    return std::any_of(site_.lots.begin(), site_.lots.end(), [&](const auto& one) {
      return one.second.of.value == balance.supply->name && one.second.test;
    });
  }

  void tell_unused_test(const LotBalance& balance, const LotTaking& first) {
    const auto& set = batch_of(first).set;
    // What the batch says of itself goes before the lot; then nothing is wrong with the test.
    if (!set.empty()) return;
    diagnostics_.warning(
        "unused-test", balance.facts->test->span,
        "The test of lot `" + balance.lot + "` makes no difference: no stage of `" +
            plan_.protocol_of(plan_.batches[first.batch]).name + "` that `" + balance.supply->name +
            "` goes through loses a share that is an input.",
        "It counts in `loses 1 - germination`, where `germination` is an input.");
  }

  /// Batches for which no lot is left, all of a supply together.
  void tell_missing() {
    if (site_.lots_unread) return;  // it may be in one of those
    std::map<std::string, std::vector<std::size_t>> by_supply;
    for (const std::size_t i : takings_that_miss(plan_)) {
      by_supply[supply_of(plan_.lots[i]).name].push_back(i);
    }
    for (const auto& [supply, missing] : by_supply) {
      const LotTaking& first = plan_.lots[missing.front()];
      double amount = 0;
      text::Diagnostic d;
      for (const std::size_t i : missing) {
        const LotTaking& one = plan_.lots[i];
        amount += one.shares.back().amount;
        d.related.push_back(
            {batch_of(one).span, batch_of(one).id.value + ", " + short_date(one.day) + ": " +
                                     units::format(one.shares.back().amount, supply_of(one).unit)});
      }
      d.severity = text::Severity::warning;
      d.code = "lots-run-out";
      d.span = lots_of(supply);
      d.message = "The lots of `" + supply +
                  "` do not last: " + units::format(amount, supply_of(first).unit) +
                  " are missing from " + short_date(first.day) + " on.";
      d.advice =
          "Buy another lot by then and write it under `lots:`; `budwood needs` says by when "
          "it has to be ordered.";
      diagnostics_.add(std::move(d));
    }
  }

  text::Span lots_of(const std::string& supply) const {
    for (const auto& [name, lot] : site_.lots) {
      if (lot.of.value == supply) return lot.of.span;
    }
    return {};
  }

  const Plan& plan_;
  const book::Site& site_;
  const std::vector<PassedOver>& passed_over_;
  text::Diagnostics& diagnostics_;
  std::set<std::string> counted_twice_;
};

}  // namespace

void report_lots(const Plan& plan, const std::vector<PassedOver>& passed_over,
                 text::Diagnostics& diagnostics) {
  LotTeller(plan, passed_over, diagnostics).tell();
}

}  // namespace budwood::plan
