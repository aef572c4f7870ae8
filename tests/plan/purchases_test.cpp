#include "book/site/site.hpp"
#include "plan/needs/needs.hpp"
#include "priced.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using calendar::iso_date;

namespace {

constexpr double seconds_a_day = 86400;

/// The three batches take 80, 100 and 60 labels on 12, 19 and 26 April; 150 are on hand.
PricedBook labels_at_hand() {
  PricedBook book;
  book.add_three();
  book::SupplyFacts& label = book.facts("label");
  label.on_hand = quantity("150");
  label.price = quantity("4 EUR/pack");
  label.lead_time = book::Placed<double>{8 * seconds_a_day, {}};
  return book;
}

}  // namespace

TEST_CASE("stock goes out first, then whole packs are bought, ordered in time") {
  PricedBook book = labels_at_hand();
  const SupplyNeed label = book.need("label");
  REQUIRE(label.purchase);
  const Purchase& purchase = *label.purchase;
  // 240 less 150 are 90: two packs of 50, 8 EUR.
  CHECK(purchase.packs == 2);
  CHECK(purchase.amount == 100);
  CHECK(*purchase.cost == doctest::Approx(8));
  CHECK(iso_date(purchase.first.day) == "2027-04-19");
  CHECK(book.id(purchase.first.batch) == "B");
  // Eight days before is Sunday, 11 April; the working day before that is a Friday.
  CHECK(iso_date(*purchase.order_by) == "2027-04-09");
  CHECK_FALSE(purchase.late);
}

TEST_CASE("a closed day moves the order to the working day before") {
  PricedBook book = labels_at_hand();
  book.close({day("2027-04-09")});
  CHECK(iso_date(*book.need("label").purchase->order_by) == "2027-04-08");
}

TEST_CASE("the days of a lead time are counted whole") {
  PricedBook book = labels_at_hand();
  book.facts("label").lead_time->value = 3.5 * seconds_a_day;
  // Four days before Monday, 19 April.
  CHECK(iso_date(*book.need("label").purchase->order_by) == "2027-04-15");
}

TEST_CASE("nothing is bought while stock lasts to the last piece") {
  PricedBook book = labels_at_hand();
  book.facts("label").on_hand = quantity("240");
  CHECK_FALSE(book.need("label").purchase);
  book.facts("label").on_hand = quantity("239");
  const SupplyNeed label = book.need("label");
  REQUIRE(label.purchase);
  CHECK(label.purchase->packs == 1);
  CHECK(iso_date(label.purchase->first.day) == "2027-04-26");
}

TEST_CASE("what has no packs is bought by the piece, or to the drop") {
  PricedBook book;
  book.add_three();
  book.facts("tray").on_hand = quantity("2");
  book.facts("tray").price = quantity("0.90");
  book.facts("mix").on_hand = quantity("24.5 L");
  book.facts("mix").price = quantity("0.20 EUR/L");
  // 2 trays a batch for 80 and 100 plants, one for 60.
  const SupplyNeed tray = book.need("tray");
  REQUIRE(tray.purchase);
  CHECK(tray.purchase->amount == 3);
  CHECK(tray.purchase->packs == 0);
  CHECK(*tray.purchase->cost == doctest::Approx(2.70));
  CHECK_FALSE(tray.purchase->order_by);
  // 60 L less 24.5 L.
  const SupplyNeed mix = book.need("mix");
  REQUIRE(mix.purchase);
  CHECK(mix.purchase->amount == doctest::Approx(0.0355));
  CHECK(*mix.purchase->cost == doctest::Approx(7.10));
}

TEST_CASE("what is counted is bought whole, whatever is used of it") {
  PricedBook book(R"(protocol p "P" { supply mat "Mat" in mats  part plant
    stage grow of plant { lasts 9 days  do "Line" on day 1 { use 0.3 mat each } } })");
  book.add("A", 5, "2027-04-26");
  book.facts("mat").price = quantity("2");
  const SupplyNeed mat = book.need("mat");
  REQUIRE(mat.purchase);
  CHECK(mat.purchase->amount == 2);
  CHECK(*mat.purchase->cost == doctest::Approx(4));
}

TEST_CASE("of what is counted a whole piece is bought where a part of one is on hand") {
  PricedBook book;
  book.add_three();
  book.facts("tray").on_hand = quantity("2.5");
  const SupplyNeed tray = book.need("tray");
  REQUIRE(tray.purchase);
  CHECK(tray.purchase->amount == 3);
}

TEST_CASE("what is counted in packs has its price by the pack") {
  PricedBook book(R"(protocol p "P" { supply pellet "Pellets" in packs  part plant
    stage grow of plant { lasts 9 days  do "Sow" on day 1 { use 1 pellet per 40 } } })");
  book.add("A", 100, "2027-04-26");
  book.facts("pellet").price = quantity("6 EUR/pack");
  const SupplyNeed pellet = book.need("pellet");
  REQUIRE(pellet.purchase);
  CHECK(pellet.purchase->amount == 3);
  CHECK(*pellet.purchase->cost == doctest::Approx(18));
}

TEST_CASE("of what comes back, the peak is bought") {
  PricedBook book;
  book.add_three();
  book.facts("clip").on_hand = quantity("170");
  const SupplyNeed clip = book.need("clip");
  REQUIRE(clip.purchase);
  // 80 out from 12 April, 180 from 19 April, 240 on 26 April: 70 are missing, a pack of 200.
  CHECK(clip.purchase->packs == 1);
  CHECK(iso_date(clip.purchase->first.day) == "2027-04-19");
  CHECK(book.id(clip.purchase->first.batch) == "B");
  CHECK_FALSE(clip.purchase->cost);
}

TEST_CASE("an order whose day has passed is late, and the batches that go short are named") {
  PricedBook book = labels_at_hand();
  CHECK_FALSE(book.need("label", "2027-04-09").purchase->late);
  const SupplyNeed late = book.need("label", "2027-04-10");
  CHECK(late.purchase->late);
  // The next working day is Monday, 12 April, so it comes on the 20th, after B and before C.
  CHECK(iso_date(*late.purchase->comes) == "2027-04-20");
  REQUIRE(late.purchase->shortages.size() == 1);
  CHECK(book.id(late.purchase->shortages[0].batch) == "B");
  const SupplyNeed later = book.need("label", "2027-04-20");
  CHECK(later.purchase->shortages.size() == 2);

  text::Diagnostics diagnostics;
  report_late(book.plan(), book.needs("2027-04-20"), day("2027-04-20"), diagnostics);
  CHECK(diagnostics.count(text::Severity::warning) == 1);
  CHECK(PricedBook::lines_of(diagnostics) ==
        "late-order `label` had to be ordered by Fri 2027-04-09, before Tue 2027-04-20. Ordered "
        "now it comes on Wed 2027-04-28; find some elsewhere, or move what goes short until then.\n"
        "  Batch `B` goes short on Mon 2027-04-19.\n"
        "  Batch `C` goes short on Mon 2027-04-26.\n");
}

TEST_CASE("what comes on the very day on which it is needed comes in time") {
  PricedBook book = labels_at_hand();
  book.facts("label").lead_time = book::Placed<double>{7 * seconds_a_day, {}};
  // Ordered on Monday, 12 April, it comes on the 19th, when B takes it.
  const SupplyNeed label = book.need("label", "2027-04-12");
  CHECK_FALSE(label.purchase->late);
  const SupplyNeed late = book.need("label", "2027-04-19");
  CHECK(late.purchase->late);
  CHECK(iso_date(*late.purchase->comes) == "2027-04-26");
  REQUIRE(late.purchase->shortages.size() == 1);
  CHECK(book.id(late.purchase->shortages[0].batch) == "B");
}

TEST_CASE("without a lead time nobody knows what is late") {
  PricedBook book = labels_at_hand();
  book.facts("label").lead_time.reset();
  const SupplyNeed label = book.need("label", "2027-04-30");
  REQUIRE(label.purchase);
  CHECK_FALSE(label.purchase->order_by);
  CHECK_FALSE(label.purchase->late);
}

TEST_CASE("amounts of a site are in the supply's unit, in another of its kind or in packs") {
  PricedBook book;
  book.add_three();
  book.facts("label").on_hand = quantity("2 packs");
  CHECK(book.need("label").terms.on_hand == 100);
  book.facts("label").pack = quantity("30");
  CHECK(book.need("label").terms.on_hand == 60);
  CHECK(book.need("label").purchase->packs == 6);
  book.facts("mix").on_hand = quantity("500 mL");
  CHECK(book.need("mix").terms.on_hand == doctest::Approx(0.0005));
  book.facts("mix").on_hand = quantity("3");
  CHECK(book.need("mix").terms.on_hand == doctest::Approx(0.003));
  CHECK(book.problems_of_supplies().empty());
}

TEST_CASE("prices of a unit, of another unit of its kind, and of a pack are the same money") {
  PricedBook book;
  book.add_three();
  const auto price = [&](const std::string& supply, const std::string& text) {
    book.facts(supply).price = quantity(text);
    return *book.need(supply).terms.price;
  };
  CHECK(price("label", "0.08") == doctest::Approx(0.08));
  CHECK(price("label", "0.08 EUR") == doctest::Approx(0.08));
  CHECK(price("label", "0.08 EUR/label") == doctest::Approx(0.08));
  CHECK(price("label", "4 EUR/pack") == doctest::Approx(0.08));
  CHECK(price("label", "4 per pack") == doctest::Approx(0.08));
  // Money for a cubic metre.
  CHECK(price("mix", "0.2") == doctest::Approx(200));
  CHECK(price("mix", "0.2 EUR/L") == doctest::Approx(200));
  CHECK(price("mix", "0.02 per mL") == doctest::Approx(20'000));
  book.facts("mix").pack = quantity("50 L");
  CHECK(price("mix", "10 EUR/pack") == doctest::Approx(200));
}

TEST_CASE("what a site says of a supply must fit it") {
  const auto problem = [](const std::string& supply, const auto& change) {
    PricedBook book;
    book.add_three();
    change(book.facts(supply));
    return book.problems_of_supplies();
  };
  using Facts = book::SupplyFacts;
  CHECK(problem("label", [](Facts& f) { f.on_hand = quantity("3 L"); }) ==
        "unit-mismatch `label` is measured in labels, which `3 L` does not fit. Such as a number "
        "of labels.\n");
  CHECK(problem("label", [](Facts& f) { f.on_hand = quantity("3 clips"); }) ==
        "unit-mismatch `label` is measured in labels, which `3 clips` does not fit. Such as a "
        "number of labels.\n");
  CHECK(problem("mix", [](Facts& f) { f.on_hand = quantity("3 packs"); }) ==
        "no-pack It is not known how much of `mix` is in a pack. Add `pack:` to this line of "
        "site.yaml, or to the protocol.\n");
  CHECK(problem("label", [](Facts& f) { f.pack = quantity("3 packs"); }).starts_with("no-pack"));
  CHECK(problem("mix", [](Facts& f) { f.price = quantity("3 EUR/pack"); }).starts_with("no-pack"));
  CHECK(problem("label", [](Facts& f) { f.price = quantity("3 EUR/clip"); }) ==
        "unit-mismatch `label` is measured in labels, which `3 EUR/clip` does not fit. Write the "
        "price of one label, or of a pack.\n");
  CHECK(problem("mix", [](Facts& f) { f.price = quantity("3 EUR/kg"); }) ==
        "unit-mismatch `mix` is measured in L, which `3 EUR/kg` does not fit. Write the price of "
        "one L, or of a pack.\n");
  CHECK(problem("lable", [](Facts&) {}) ==
        "unknown-name No protocol of this book has a supply `lable`. Did you mean `label`?\n");
  CHECK(problem("label", [](Facts& f) { f.on_hand = quantity("3"); }).empty());
}

TEST_CASE("very large amounts stay amounts") {
  PricedBook book;
  book.add("A", 10'000'000, "2027-04-26");
  book.facts("label").price = quantity("1000000000");
  const SupplyNeed label = book.need("label");
  CHECK(label.purchase->packs == 200'000);
  CHECK(*label.purchase->cost == doctest::Approx(1e16));
}
