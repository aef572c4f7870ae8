#include "plan/needs/deliveries.hpp"

#include <doctest/doctest.h>

#include <limits>
#include <random>

#include "priced.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using calendar::iso_date;

namespace {

constexpr double seconds_in_a_day = 86400;

/// A problem with a use on each of the days 0, 1, 2 ...
BuyingProblem daily(const std::vector<double>& amounts) {
  BuyingProblem out;
  double total = 0;
  for (std::size_t i = 0; i < amounts.size(); ++i) {
    total += amounts[i];
    out.uses.push_back({static_cast<calendar::Day>(i), total});
  }
  return out;
}

void add_offer(BuyingProblem& problem, const Offer& offer,
               std::optional<calendar::Day> earliest = std::nullopt) {
  problem.offers.push_back(offer);
  problem.earliest.push_back(earliest);
}

/// What some deliveries cost, with storage, counted day by day: each unit is used as old as any
/// that is there. Nothing when a use finds too little, or something too old.
struct Stored {
  calendar::Day came = 0;
  double amount = 0;
};

double storage_of(const BuyingProblem& problem, const std::vector<Bought>& all) {
  std::vector<Stored> there;
  double cost = 0;
  double before = 0;
  std::size_t next = 0;
  for (std::size_t i = 0; i < problem.uses.size(); ++i) {
    const calendar::Day day = problem.uses[i].day;
    while (next < all.size() && all[next].first == i) there.push_back({day, all[next++].amount});
    double wanted = problem.uses[i].total - before;
    before = problem.uses[i].total;
    for (Stored& one : there) {
      if (problem.keeps && day - one.came > *problem.keeps) continue;
      const double taken = std::min(wanted, one.amount);
      one.amount -= taken;
      wanted -= taken;
      cost += taken * problem.storage * (day - one.came);
    }
    if (wanted > 1e-9) return std::numeric_limits<double>::quiet_NaN();
  }
  return cost;
}

double cost_of(const BuyingProblem& problem, const std::vector<Bought>& all) {
  double cost = storage_of(problem, all);
  for (const Bought& one : all) cost += delivery_cost(problem.offers[one.offer], one.amount);
  return cost;
}

/// Every way to buy up to `most` whole packs on each day, of any offer, tried one after the other.
class EveryWay {
 public:
  EveryWay(const BuyingProblem& problem, int most) : p_(problem), most_(most) { day(0, {}, 0); }
  double cheapest() const { return cheapest_; }

 private:
  void day(std::size_t at, const std::vector<Stored>& there, double cost) {
    if (cost >= cheapest_) return;
    if (at == p_.uses.size()) {
      cheapest_ = cost;
      return;
    }
    use(at, there, cost);
    for (const Offer& offer : p_.offers) {
      for (int packs = 1; packs <= most_; ++packs) {
        const double amount = packs * offer.pack;
        if (amount < offer.minimum) continue;
        std::vector<Stored> more = there;
        more.push_back({p_.uses[at].day, amount});
        use(at, more, cost + delivery_cost(offer, amount));
      }
    }
  }

  void use(std::size_t at, std::vector<Stored> there, double cost) {
    const calendar::Day day_of = p_.uses[at].day;
    double wanted = p_.uses[at].total - (at == 0 ? 0 : p_.uses[at - 1].total);
    for (Stored& one : there) {
      if (p_.keeps && day_of - one.came > *p_.keeps) continue;
      const double taken = std::min(wanted, one.amount);
      one.amount -= taken;
      wanted -= taken;
      cost += taken * p_.storage * (day_of - one.came);
    }
    if (wanted < 1e-9) day(at + 1, there, cost);
  }

  const BuyingProblem& p_;
  int most_;
  double cheapest_ = std::numeric_limits<double>::infinity();
};

}  // namespace

TEST_CASE("lots of one supplier are those of the published examples") {
  // Hopp and Spearman, Factory Physics, 2.3: a setup costs 100, a unit 1 a week; 580 in all, for
  // weeks 1 to 3, 4 to 7 and 8 to 10.
  BuyingProblem weeks = daily({20, 50, 10, 50, 50, 10, 20, 40, 20, 30});
  weeks.storage = 1;
  Offer offer;
  offer.price = 0;
  offer.fee = 100;
  add_offer(weeks, offer);
  const auto lots = cheapest_deliveries(weeks);
  REQUIRE(lots.size() == 3);
  CHECK(lots[0].amount == doctest::Approx(80));
  CHECK(lots[1].amount == doctest::Approx(130));
  CHECK(lots[2].amount == doctest::Approx(90));
  CHECK(cost_of(weeks, lots) == doctest::Approx(580));
  // Hillier and Lieberman, Introduction to Operations Research, the four seasons of a maker of
  // airplanes: 3, 2, 3 and 2 wanted, 2 million a setup, 0.2 a season in store; 4.8 million, whether
  // all are made at once or in the first season and the third. Here the fewer are taken.
  BuyingProblem seasons = daily({3, 2, 3, 2});
  seasons.storage = 0.2;
  offer.fee = 2;
  add_offer(seasons, offer);
  const auto made = cheapest_deliveries(seasons);
  CHECK(made.size() == 1);
  CHECK(cost_of(seasons, made) == doctest::Approx(4.8));
}

TEST_CASE("no way to buy whole packs is cheaper: every way is tried on small problems") {
  std::mt19937 random(20261130);
  const auto pick = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  int several = 0, broke = 0, spoilt = 0;
  for (int round = 0; round < 400; ++round) {
    std::vector<double> amounts;
    const int uses = pick(2, 4);
    for (int i = 0; i < uses; ++i) amounts.push_back(pick(1, 6));
    BuyingProblem problem = daily(amounts);
    for (int i = 1; i < uses; ++i) {
      problem.uses[static_cast<std::size_t>(i)].day =
          problem.uses[static_cast<std::size_t>(i) - 1].day + pick(1, 4);
    }
    if (pick(0, 1) == 1) problem.keeps = pick(1, 6);
    if (pick(0, 1) == 1) problem.storage = 0.25 * pick(1, 4);
    const int offers = pick(1, 2);
    const double pack = pick(1, 3);
    for (int o = 0; o < offers; ++o) {
      Offer offer;
      offer.pack = pack;
      offer.price = 2 + 0.5 * pick(0, 4);
      offer.fee = pick(0, 6);
      if (pick(0, 2) == 0) offer.minimum = pick(1, 8);
      if (pick(0, 1) == 1) {
        offer.breaks.push_back({static_cast<double>(pick(4, 12)), *offer.price * 0.6});
      }
      add_offer(problem, offer);
    }
    const auto found = cheapest_deliveries(problem);
    const int most = static_cast<int>(std::ceil(24 / pack));
    INFO("round " << round);
    CHECK(cost_of(problem, found) == doctest::Approx(EveryWay(problem, most).cheapest()));
    several += found.size() > 1 ? 1 : 0;
    for (const Bought& one : found) {
      broke += one.least < one.amount ? 1 : 0;
      spoilt += one.spoils && one.over > 0 ? 1 : 0;
    }
  }
  // All that is tried has to happen.
  CHECK(several > 50);
  CHECK(broke > 20);
  CHECK(spoilt > 5);
}

TEST_CASE("what comes in time goes before what is cheap; where nothing does, the first") {
  BuyingProblem problem = daily({5, 5, 5});
  problem.uses[1].day = 10;
  problem.uses[2].day = 20;
  Offer cheap;
  cheap.supplier = "cheap";
  cheap.price = 1;
  Offer fast = cheap;
  fast.supplier = "fast";
  fast.price = 3;
  add_offer(problem, cheap, 8);
  add_offer(problem, fast, 0);
  const auto found = cheapest_deliveries(problem);
  REQUIRE(found.size() == 2);
  CHECK(found[0].offer == 1);
  CHECK(found[0].amount == doctest::Approx(5));
  CHECK(found[1].offer == 0);
  CHECK(found[1].amount == doctest::Approx(10));
  problem.earliest = {8, 4};
  const auto late = cheapest_deliveries(problem);
  REQUIRE(late.size() == 2);
  CHECK(late[0].offer == 1);
}

namespace {

/// The three batches take 20, 25 and 15 L of mix on 22 April, 29 April and 6 May.
PricedBook mix_by_the_sack() {
  PricedBook book;
  book.add_three();
  book::SupplyFacts& mix = book.facts("mix");
  mix.pack = quantity("10 L");
  mix.price = quantity("8 EUR/pack");
  mix.lead_time = book::Placed<double>{5 * seconds_in_a_day, {}};
  return book;
}

const Purchase& purchase_in(const SupplyNeed& need) {
  REQUIRE(need.purchase);
  return *need.purchase;
}

}  // namespace

TEST_CASE("what does not keep comes in several deliveries") {
  PricedBook book = mix_by_the_sack();
  const SupplyNeed at_once = book.need("mix");
  REQUIRE(purchase_in(at_once).deliveries.size() == 1);
  CHECK(purchase_in(at_once).packs == 6);
  const auto days_of_use = [&] {
    std::string out;
    for (const Taking& one : at_once.takings) out += iso_date(one.day) + " ";
    return out;
  };
  CHECK(days_of_use() == "2027-04-22 2027-04-29 2027-05-06 ");

  book.facts("mix").keeps = book::Placed<double>{10 * seconds_in_a_day, {}};
  const SupplyNeed need = book.need("mix");
  const Purchase& purchase = purchase_in(need);
  REQUIRE(purchase.deliveries.size() == 2);
  const Delivery& first = purchase.deliveries[0];
  const Delivery& second = purchase.deliveries[1];
  // 20 and 25 L within ten days, then 15 L: five sacks and two, or two and four.
  CHECK(first.packs + second.packs == purchase.packs);
  CHECK(purchase.packs == 6);
  CHECK(iso_date(first.first.day) == "2027-04-22");
  CHECK(iso_date(*first.order_by) == "2027-04-16");
  CHECK(*purchase.cost == doctest::Approx(48));
  CHECK(purchase.order_by == first.order_by);
}

TEST_CASE("a least amount is taken, and what is over is told") {
  PricedBook book = mix_by_the_sack();
  book.facts("mix").minimum = quantity("8 packs");
  const SupplyNeed need = book.need("mix");
  const Purchase& purchase = purchase_in(need);
  CHECK(purchase.packs == 8);
  CHECK(purchase.deliveries.front().over == doctest::Approx(0.020));
  CHECK_FALSE(purchase.deliveries.front().spoils);
}

TEST_CASE("a break is taken where the larger delivery costs less, and not a cent before") {
  PricedBook book = mix_by_the_sack();
  const auto with_break = [&](const std::string& price) {
    book.facts("mix").breaks = {{quantity("8 packs"), quantity(price)}};
    return book.need("mix");
  };
  // Six sacks cost 48 EUR.
  const SupplyNeed pays = with_break("5.99 EUR/pack");
  CHECK(purchase_in(pays).packs == 8);
  CHECK(*purchase_in(pays).cost == doctest::Approx(47.92));
  CHECK(*purchase_in(pays).deliveries.front().least_cost == doctest::Approx(48));
  CHECK(purchase_in(with_break("6.01 EUR/pack")).packs == 6);
}

TEST_CASE("the cheapest offer is taken, and a dearer one where that comes too late") {
  PricedBook book = mix_by_the_sack();
  book::Offer slow;
  slow.supplier.value = "Fen Peat";
  slow.price = quantity("6 EUR/pack");
  slow.lead_time = book::Placed<double>{20 * seconds_in_a_day, {}};
  book::Offer near;
  near.supplier.value = "Hollow Lane";
  near.delivery = quantity("4 EUR");
  book.facts("mix").offers = {slow, near};
  const SupplyNeed planned = book.need("mix");
  REQUIRE(purchase_in(planned).deliveries.size() == 1);
  CHECK(purchase_in(planned).deliveries.front().supplier == "Fen Peat");
  CHECK(*purchase_in(planned).cost == doctest::Approx(36));
  CHECK(planned.terms.price == doctest::Approx(600));  // EUR for a m3, of the cheaper one

  // On 12 April it would come on 2 May: for the first 45 L that is too late.
  const SupplyNeed now = book.need("mix", "2027-04-12");
  REQUIRE(purchase_in(now).deliveries.size() == 2);
  CHECK(purchase_in(now).deliveries[0].supplier == "Hollow Lane");
  CHECK(purchase_in(now).deliveries[1].supplier == "Fen Peat");
  CHECK_FALSE(purchase_in(now).late);
}

TEST_CASE("what expires on hand is not counted on, and what nobody uses is told") {
  PricedBook book = mix_by_the_sack();
  book.facts("mix").on_hand = quantity("50 L");
  book.facts("mix").use_by = book::Placed<calendar::Day>{day("2027-04-28"), {}};
  const SupplyNeed need = book.need("mix");
  // 20 L of the 50 are used in time; 40 L have to come for 29 April.
  CHECK(purchase_in(need).packs == 4);
  CHECK(iso_date(purchase_in(need).first.day) == "2027-04-29");
  REQUIRE(need.expires.size() == 1);
  CHECK(need.expires[0].amount == doctest::Approx(0.030));
}

TEST_CASE("terms that do not fit are told") {
  PricedBook book = mix_by_the_sack();
  book.facts("mix").breaks = {{quantity("8 packs"), quantity("8.50 EUR/pack")}};
  book.facts("clip").keeps = book::Placed<double>{9 * seconds_in_a_day, {}};
  book::Offer unpriced;
  unpriced.supplier.value = "Fen Peat";
  book::Offer priced = unpriced;
  priced.supplier.value = "Hollow Lane";
  priced.price = quantity("0.05");
  book.facts("label").offers = {unpriced, priced};
  const std::string told = book.problems_of_supplies();
  CHECK(told.find("no-gain From here on `mix` is not cheaper than before") != std::string::npos);
  CHECK(told.find("keeps-reused `clip` is used again and again, so `keeps` says nothing of it.") !=
        std::string::npos);
  CHECK(told.find("no-price The offer of `Fen Peat` for `label` has no price to compare.") !=
        std::string::npos);
  book.facts("mix").price.reset();
  CHECK(book.problems_of_supplies().find("no-price There is a price for more of `mix`") !=
        std::string::npos);
}

TEST_CASE("a price of the supply's pack is not that of another pack") {
  PricedBook book = mix_by_the_sack();
  book::Offer one;
  one.supplier.value = "Fen Peat";
  one.pack = quantity("100 L");
  book.facts("mix").offers = {one};
  const SupplyNeed large = book.need("mix");
  CHECK(purchase_in(large).deliveries.front().pack == doctest::Approx(0.1));
  // 8 EUR for 10 L.
  CHECK(*purchase_in(large).cost / purchase_in(large).amount == doctest::Approx(800));
}

TEST_CASE("hundreds of days of use in packs that differ are bought for in good time") {
  std::vector<double> amounts;
  std::mt19937 random(3);
  for (int i = 0; i < 400; ++i) amounts.push_back(1 + static_cast<double>(random() % 40));
  BuyingProblem problem = daily(amounts);
  problem.counted = true;
  problem.storage = 0.001;
  for (const double pack : {37.0, 101.0, 7.0}) {
    Offer offer;
    offer.pack = pack;
    offer.price = 1;
    offer.fee = 5;
    add_offer(problem, offer);
  }
  const std::vector<Bought> found = cheapest_deliveries(problem);
  double amount = 0;
  for (const Bought& one : found) amount += one.amount;
  CHECK(amount >= problem.uses.back().total);
  CHECK_FALSE(std::isnan(storage_of(problem, found)));
}
