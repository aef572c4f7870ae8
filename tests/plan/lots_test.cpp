#include "plan/stock/lots.hpp"

#include <algorithm>
#include <cmath>

#include "plan/marks.hpp"
#include "plan/needs/needs.hpp"
#include "plan/trials/what_if.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using calendar::iso_date;

namespace {

/// Sown four weeks before they are ready; the only loss is what does not come up.
const std::string seedlings = R"(protocol seedlings "Seedlings" {
  input germination = 90 % from 50 % to 100 %
  supply seed "Seed" in seeds pack 1000
  supply tray "Tray" in trays
  part plant "Seedling"
  stage sowing of plant {
    lasts 7 days
    loses 1 - germination
    do "Sow" on day 1 { rate 600 per hour  use 1 seed each  use 1 tray per 104  tagged sowing }
  }
  stage growing of plant { lasts 21 days }
})";

calendar::Day date(const std::string& text) {
  return calendar::parse_iso_date(text).value();
}

class SownBook : public Planned {
 public:
  explicit SownBook(const std::string& protocol = seedlings) : Planned(protocol) {}

  book::Lot& lot(const std::string& name, const std::string& count,
                 const std::string& use_by = "") {
    book::Lot lot;
    lot.of.value = "seed";
    lot.count = quantity(count);
    if (!use_by.empty()) lot.use_by = book::Placed<calendar::Day>{date(use_by), {}};
    return site().lots[name] = lot;
  }
  book::Lot& tested(const std::string& name, const std::string& count, std::int64_t good,
                    std::int64_t of, const std::string& use_by = "") {
    book::Lot& one = lot(name, count, use_by);
    one.test = book::GerminationTest{good, of, date("2027-01-12"), {}};
    return one;
  }

  /// "A sowing: 200 of T-1, 236 of T-2; B ..." with what is missing as "to buy".
  std::string takings() {
    std::string out;
    const Plan& made = plan();
    for (const LotTaking& one : made.lots) {
      out += (out.empty() ? "" : "; ") + made.facts_of(made.batches[one.batch]).id.value + ":";
      for (const LotShare& share : one.shares) {
        out += " " + units::format_number(share.plants) + " " +
               (share.facts == nullptr ? "to buy" : share.lot);
      }
    }
    return out;
  }
  double started(std::size_t batch = 0) {
    const Plan& made = plan();
    const sheet::Row row = made.row_of(made.batches[batch]);
    return row.value(row.cells(language::StageId(0)).plants);
  }
  SupplyNeed seed(const std::string& today = "") {
    for (SupplyNeed& one : total_needs(plan(), calendar::parse_iso_date(today)).supplies) {
      if (one.supply == "seed") return std::move(one);
    }
    throw std::invalid_argument("seed");
  }
};

/// P(X >= m) of independent plants, each with its own rate, added up one by one.
double at_least(std::int64_t m, const std::vector<std::pair<int, double>>& lots) {
  std::vector<double> chance{1};
  for (const auto& [plants, rate] : lots) {
    for (int i = 0; i < plants; ++i) {
      chance.push_back(0);
      for (std::size_t k = chance.size() - 1; k > 0; --k) {
        chance[k] = chance[k] * (1 - rate) + chance[k - 1] * rate;
      }
      chance[0] *= 1 - rate;
    }
  }
  double sum = 0;
  for (auto k = static_cast<std::size_t>(m); k < chance.size(); ++k) sum += chance[k];
  return sum;
}

}  // namespace

TEST_CASE("the test of a lot says how many are sown of it") {
  SownBook book;
  book.add("A", 400, "2027-05-14");
  CHECK(book.started() == 445);  // the protocol's 90 %
  book.tested("T-1", "2000", 176, 200);
  // 400 / (176 / 200) = 454.5
  CHECK(book.takings() == "A: 455 T-1");
  const Plan& plan = book.plan();
  const sheet::Row row = plan.row_of(plan.batches[0]);
  const sheet::CellId input = row.layout().inputs[0];
  CHECK(row.value(input) == doctest::Approx(0.88));
  CHECK(mark_of(row, input) == Mark::lot);
  CHECK(layer_of(row, input) == "lots");
  const LotTaking* behind = taking_behind(plan, 0, language::InputId(0));
  REQUIRE(behind != nullptr);
  CHECK(share_text(behind->shares[0], *behind) == "455 of T-1, 88 % (176 of 200 on 2027-01-12)");
  SUBCASE("what the batch says of itself goes before it") {
    book.book().batches[0].set["germination"] = quantity("80 %");
    CHECK(book.takings() == "A: 500 T-1");
  }
  SUBCASE("what the site says does not") {
    book.site().inputs["seedlings"]["germination"] = quantity("80 %");
    CHECK(book.takings() == "A: 455 T-1");
  }
}

TEST_CASE("a number that has to be sure counts with how many seeds were tested") {
  SownBook book;
  auto& batch = book.add("A", 400, "2027-05-14");
  batch.sure = book::Placed<double>{0.9, {}};
  book.tested("T-1", "2000", 176, 200);
  // Beta-binomial with Jeffreys' prior, Beta(176.5, 24.5): P(X >= 400) is 0.8953 of 474 and 0.9053
  // of 475, added up with the log gamma function of Python 3.11.
  CHECK(book.started() == 475);
  // As if the protocol's input were written so.
  book.site().lots.clear();
  book::Written written = quantity("88 %");
  written.good = 176;
  written.seen = 200;
  book.book().batches[0].set["germination"] = written;
  CHECK(book.started() == 475);
}

TEST_CASE("a test of very many seeds is as good as the rate itself") {
  SownBook book;
  book.add("A", 400, "2027-05-14").sure = book::Placed<double>{0.9, {}};
  book.tested("T-1", "2000", 8'800'000, 10'000'000);
  // The smallest n with P(Binomial(n, 0.88) >= 400) >= 0.9, added up in Python 3.11: 465.
  CHECK(book.started() == 465);
}

TEST_CASE("of two lots each comes up at its own rate") {
  SownBook book;
  book.add("A", 400, "2027-05-14");
  book.tested("T-1", "200", 176, 200, "2027-06-30");
  book.tested("T-2", "2000", 190, 200, "2028-06-30");
  // 200 of the first give 176; the other 224 take 235.8 seeds at 95 %.
  CHECK(book.takings() == "A: 200 T-1 236 T-2");
  const Plan& plan = book.plan();
  SUBCASE("the order has a row for each lot, and all rows are all seeds") {
    const OrderDetail order = describe(plan, plan.orders[0]);
    REQUIRE(order.supplies.size() == 3);
    CHECK(order.supplies[0].lot == "T-1");
    CHECK(order.supplies[0].amount == 200);
    CHECK(order.supplies[1].lot == "T-2");
    CHECK(order.supplies[1].amount == 236);
    CHECK(order.supplies[2].supply == "tray");
    CHECK(order.plants == 436);
  }
  SUBCASE("the lots know who takes of them and what is left") {
    const std::vector<LotBalance> lots = lot_balances(plan);
    REQUIRE(lots.size() == 2);
    CHECK(lots[0].left() == 0);
    CHECK(lots[1].left() == 2000 - 236);
    CHECK(book.seed().terms.on_hand == 2200);
    CHECK_FALSE(book.seed().purchase.has_value());
  }
  SUBCASE("plants are numbered through the lots, so that trays know theirs") {
    const auto pieces = pieces_of(plan.lots[0], 104, 208);
    REQUIRE(pieces.size() == 2);
    CHECK(pieces[0].plants == 96);
    CHECK(pieces[1].plants == 8);
    CHECK(pieces[1].share->lot == "T-2");
  }
  SUBCASE("the note of the batch tells it") {
    REQUIRE_FALSE(plan.notes.empty());
    CHECK(plan.notes[0].message ==
          "`sowing` takes `seed`: 200 of T-1, 88 % (176 of 200 on 2027-01-12) and 236 of T-2, 95 % "
          "(190 of 200 on 2027-01-12).");
  }
}

TEST_CASE("of two lots it is as sure as asked, and hardly surer") {
  for (const int small : {50, 200, 390}) {
    SownBook book;
    book.add("A", 400, "2027-05-14").sure = book::Placed<double>{0.9, {}};
    book.tested("T-1", std::to_string(small), 7'000'000, 10'000'000, "2027-06-30");
    book.tested("T-2", "5000", 9'500'000, 10'000'000, "2028-06-30");
    const auto sown = static_cast<int>(book.started());
    CAPTURE(small);
    CAPTURE(sown);
    const auto chance = [&](int all) { return at_least(400, {{small, 0.7}, {all - small, 0.95}}); };
    CHECK(chance(sown) >= 0.9);
    // One mean for both scatters more than the two do: a plant or two more.
    CHECK(chance(sown - 3) < 0.9);
  }
}

TEST_CASE("who is sown first takes of the lot that expires first") {
  SownBook book;
  book.add("late", 90, "2027-06-11");
  book.add("early", 90, "2027-05-14");
  book.lot("new", "1000", "2028-06-30");
  book.lot("old", "150", "2027-12-31");
  CHECK(book.takings() == "early: 100 old; late: 50 old 50 new");
  SUBCASE("a batch can name its lots") {
    book.book().batches[1].lots["seed"] = {"new", {}};
    CHECK(book.takings() == "early: 100 new; late: 100 old");
  }
  SUBCASE("or have material of its own, which nobody buys") {
    book.book().batches[1].lots["seed"] = {"from the customer", {}};
    CHECK(book.takings() == "late: 100 old");
    const Plan& plan = book.plan();
    CHECK(describe(plan, plan.orders[0]).supplies[0].lot == "from the customer");
    CHECK_FALSE(book.seed().purchase.has_value());
  }
  SUBCASE("a lot of a cultivar is for that") {
    book.site().lots.at("old").cultivar = "Bonita";
    CHECK(book.takings() == "early: 100 new; late: 100 new");
    book.book().batches[0].cultivar = "Bonita";
    CHECK(book.takings() == "early: 100 new; late: 100 old");
  }
  SUBCASE("a lot that was counted later serves nothing before") {
    book.site().lots.at("old").counted = date("2027-05-01");
    CHECK(book.takings() == "early: 100 new; late: 100 old");
  }
  SUBCASE("a what-if of a lot") {
    const Plan& plan = book.plan();
    text::Sources sources;
    text::Diagnostics diagnostics;
    const auto tried = what_if(plan, {"site.old.count=60"}, sources, diagnostics);
    REQUIRE(tried.has_value());
    CHECK(tried->changes[0].before == 150);
    const Plan after = make_plan(tried->book, diagnostics);
    CHECK(after.lots[0].shares[0].plants == 60);
  }
}

TEST_CASE("what lots lack is to be bought by the day on which it is missing") {
  SownBook book;
  book.add("early", 90, "2027-05-14");
  book.add("late", 90, "2027-06-11");
  book.tested("T-1", "130", 90, 100);
  book.site().supplies["seed"].lead_time = book::Placed<double>{14 * units::seconds_a_day, {}};
  CHECK(book.takings() == "early: 100 T-1; late: 30 T-1 70 to buy");
  const SupplyNeed need = book.seed();
  REQUIRE(need.purchase.has_value());
  CHECK(need.purchase->amount == 1000);  // a pack
  CHECK(iso_date(need.purchase->first.day) == "2027-05-14");
  CHECK(iso_date(*need.purchase->order_by) == "2027-04-30");
  CHECK(book.problems().find("lots-run-out The lots of `seed` do not last: 70 seeds are missing "
                             "from Fri 2027-05-14 on. Buy another lot by then") !=
        std::string::npos);
  // What is sown already lacks nothing.
  const auto told = [&] {
    text::Diagnostics fresh;
    make_plan(book.book(), fresh);
    const auto all = fresh.sorted();
    return std::any_of(all.begin(), all.end(),
                       [](const text::Diagnostic& d) { return d.code == "lots-run-out"; });
  };
  CHECK(told());
  book.book().today = date("2027-05-20");
  book.book().batches[0].done.push_back({"sowing/1/1", date("2027-04-16"), {}});
  book.book().batches[1].done.push_back({"sowing/1/1", date("2027-05-14"), {}});
  CHECK_FALSE(told());
  for (book::Batch& one : book.book().batches) one.done.clear();
  book.book().today.reset();
  // It may be in a lot that could not be read.
  book.site().lots_unread = true;
  CHECK_FALSE(told());
}

TEST_CASE("lots that cannot be right are told before the season") {
  SownBook book;
  book.add("A", 90, "2027-05-14");
  SUBCASE("expired") {
    book.tested("T-1", "500", 90, 100, "2027-04-15");
    CHECK(book.takings() == "A: 100 to buy");
    CHECK(book.problems().find("expired-lot Lot `T-1` has expired when A takes of it on Fri "
                               "2027-04-16; 500 seeds of it are left and are not taken.") !=
          std::string::npos);
  }
  SUBCASE("good on its last day") {
    book.tested("T-1", "500", 90, 100, "2027-04-16");
    CHECK(book.takings() == "A: 100 T-1");
    CHECK(book.problems().empty());
  }
  SUBCASE("not tested") {
    book.lot("T-1", "500");
    CHECK(book.problems() ==
          "untested-lot Lot `T-1` was not tested; A is sown from it on Fri 2027-04-16 as if it "
          "came up as usual. Lay out 100 to 200 seeds before, and write `test: 176 of 200 on "
          "2027-03-26`.\n");
  }
  SUBCASE("an old test") {
    book.tested("T-1", "500", 90, 100);
    book.site().supplies["seed"].test_holds = 60;
    CHECK(book.problems() ==
          "old-test The test of lot `T-1` is 94 days old when A takes of it on Fri 2027-04-16; "
          "tests hold for 60 days. Test the lot again before that day, and write the new count and "
          "day.\n");
  }
  SUBCASE("a test beyond what the protocol allows") {
    book.tested("T-1", "500", 40, 100);
    CHECK(book.takings() == "A: 100 to buy");
    CHECK(book.problems().find("lot-out-of-range Lot `T-1` is not taken: its test gives 40 %, and "
                               "`germination` of `seedlings` goes from 50 % to 100 %.") !=
          std::string::npos);
  }
  SUBCASE("stock in one number as well") {
    book.tested("T-1", "500", 90, 100);
    book.site().supplies["seed"].on_hand = quantity("500");
    CHECK(book.problems() ==
          "two-stocks What is on hand of `seed` is in its lots already. Take out `on_hand`, and "
          "give each lot its `count`.\n");
  }
  SUBCASE("a supply that nobody has") {
    book.tested("T-1", "500", 90, 100).of.value = "sead";
    CHECK(book.problems() ==
          "unknown-name No protocol of this book has a supply `sead`. Did you mean `seed`?\n");
  }
  SUBCASE("a count in another unit") {
    book.lot("T-1", "500 L");
    CHECK(book.problems() ==
          "unit-mismatch `seed` is measured in seeds, which `500 L` does not fit. Such as a number "
          "of seeds.\n");
  }
  SUBCASE("a batch that names a lot of something else, or slips") {
    book.tested("T-114", "500", 90, 100);
    book.lot("L-7", "500").of.value = "tray";
    book.book().batches[0].lots["seed"] = {"L-7", {}};
    CHECK(book.problems().find("wrong-lot `L-7` is of `tray`, not of `seed`. Of `seed` there is "
                               "T-114.") != std::string::npos);
    book.book().batches[0].lots["seed"] = {"T-141", {}};
    CHECK(book.problems().find("unknown-lot There is no lot and there are no mother plants named "
                               "`T-141`") != std::string::npos);
  }
}

TEST_CASE("the field factor comes off the test") {
  SownBook book;
  book.add("A", 400, "2027-05-14");
  book.tested("T-1", "2000", 176, 200);
  book.site().supplies["seed"].field_factor = book::Placed<double>{0.9, {}};
  // 400 / (0.88 * 0.9) = 505.05
  CHECK(book.takings() == "A: 506 T-1");
  const Plan& plan = book.plan();
  CHECK(share_text(plan.lots[0].shares[0], plan.lots[0]) ==
        "506 of T-1, 79.2 % (176 of 200 on 2027-01-12, times the field factor of 90 %)");
}

TEST_CASE("what is spoilt of the seed comes off the lot as well") {
  SownBook book;
  book.add("A", 90, "2027-05-14");
  book.tested("T-1", "103", 90, 100);
  book.tested("T-2", "500", 90, 100);
  book.site().supplies["seed"].scrap = book::Placed<double>{0.05, {}};
  // 97 of 103 seeds are good: 97 / 0.95 = 102.1. In all 100 / 0.95 = 105.3, so 106 are taken.
  CHECK(book.takings() == "A: 97 T-1 3 T-2");
  const auto lots = lot_balances(book.plan());
  CHECK(lots[0].taken == 103);
  CHECK(lots[1].taken == 3);
  CHECK(book.seed().amount == 106);
}

TEST_CASE("a seed that is chilled first is told by the stage in which it comes up") {
  SownBook book(R"(protocol seedlings "Chilled" {
  input germination = 60 % from 20 % to 95 %
  supply seed in seeds
  part plant
  stage chilling of plant { lasts 28 days  do "Mix" on day 1 { use 1 seed each } }
  stage sowing of plant { lasts 14 days  loses 1 - germination }
})");
  book.add("A", 400, "2027-05-14");
  book.tested("T-1", "2000", 100, 200);
  CHECK(book.takings() == "A: 800 T-1");
}

TEST_CASE("an input that is what is lost is told the other way round") {
  SownBook book(R"(protocol seedlings "Seedlings" {
  input failing = 10 % from 0 % to 50 %
  supply seed in seeds
  part plant
  stage sowing of plant { lasts 7 days  loses failing  do "Sow" on day 1 { use 1 seed each } }
})");
  book.add("A", 400, "2027-05-14").sure = book::Placed<double>{0.9, {}};
  book.tested("T-1", "2000", 176, 200);
  CHECK(book.started() == 475);
  const Plan& plan = book.plan();
  const sheet::Row row = plan.row_of(plan.batches[0]);
  CHECK(row.value(row.layout().inputs[0]) == doctest::Approx(0.12));
}

TEST_CASE("scion and stock take of lots of their own, and are sure together") {
  SownBook book(R"(protocol seedlings "Grafts" {
  input scion_germination = 90 % from 50 % to 100 %
  input stock_germination = 90 % from 50 % to 100 %
  supply seed in seeds
  supply stock_seed in seeds
  part scion
  part stock
  part plant
  stage sow_scion of scion {
    lasts 14 days  loses 1 - scion_germination  do "Sow" on day 1 { use 1 seed each }
  }
  stage sow_stock of stock {
    lasts 21 days  loses 1 - stock_germination  do "Sow" on day 1 { use 1 stock_seed each }
  }
  stage graft joins scion with stock into plant { lasts 1 day }
})");
  book.add("A", 400, "2027-05-14").sure = book::Placed<double>{0.9, {}};
  book.tested("T-1", "300", 8'800'000, 10'000'000, "2027-06-30");
  book.tested("T-2", "2000", 9'500'000, 10'000'000, "2028-06-30");
  book.tested("S-1", "2000", 7'000'000, 10'000'000).of.value = "stock_seed";
  const Plan& plan = book.plan();
  REQUIRE(plan.lots.size() == 2);
  const sheet::Row row = plan.row_of(plan.batches[0]);
  const auto starts = [&](const LotTaking& one) { return row.value(row.cells(one.stage).plants); };
  for (const LotTaking& one : plan.lots) CHECK(one.plants() == starts(one));
  const int scions = static_cast<int>(plan.lots[1].plants());
  const int stocks = static_cast<int>(plan.lots[0].plants());
  CHECK(plan.lots[1].shares.size() == 2);
  const double both =
      at_least(400, {{300, 0.88}, {scions - 300, 0.95}}) * at_least(400, {{stocks, 0.7}});
  CHECK(both >= 0.9);
  CHECK(both < 0.92);
}

TEST_CASE("what was noted as used counts instead of what was planned") {
  SownBook book;
  book.add("A", 90, "2027-05-14");
  book.add("B", 90, "2027-06-11");
  book.tested("T-1", "1000", 90, 100);
  book.book().today = date("2027-04-20");
  book.book().batches[0].done.push_back({"sowing/1/1", date("2027-04-16"), {}});
  CHECK(lot_balances(book.plan())[0].left() == 800);
  CHECK(lot_balances(book.plan())[0].done == 100);
  record::Entry entry;
  entry.batch = "A";
  entry.place = "sowing/1/1";
  entry.what = record::What::done;
  entry.day = date("2027-04-16");
  entry.used.push_back({130, "", "seed"});
  book.book().history.push_back(entry);
  CHECK(lot_balances(book.plan())[0].done == 130);
  CHECK(lot_balances(book.plan())[0].left() == 770);
  CHECK(book.seed().terms.on_hand == 870);
}
