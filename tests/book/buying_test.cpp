#include <doctest/doctest.h>

#include "book/site/site.hpp"
#include "book_folder.hpp"

/// On which terms supplies are bought: `grammar/buying.md`.
using namespace budwood::book;
using namespace budwood::book::test;

TEST_CASE("a supply has suppliers, each with terms of its own") {
  const Site site = site_of(
      "currency: EUR\n"
      "supplies:\n"
      "  peat:\n"
      "    pack: 70 L\n"
      "    keeps: 8 weeks\n"
      "    storage: 0.20 per pack\n"
      "    on_hand: 140 L\n"
      "    use_by: 2027-04-30\n"
      "    offers:\n"
      "      Fen Peat: {price: 9.40 per pack, minimum: 10 packs, delivery: 35 EUR, breaks: {35 "
      "packs: "
      "8.40 per pack}}\n"
      "      Hollow Lane: {price: 11.20 per pack, lead_time: 2 days}\n"
      "  label: {supplier: Brook Pots, price: 0.03}\n");
  const SupplyFacts& peat = site.supplies.at("peat");
  REQUIRE(peat.offers.size() == 2);
  const Offer& fen = peat.offers[0];
  CHECK(fen.supplier.value == "Fen Peat");
  CHECK(fen.price->quantity.value == doctest::Approx(9.40));
  CHECK(fen.minimum->quantity.unit.noun == "packs");
  CHECK(fen.delivery->quantity.value == 35);
  REQUIRE(fen.breaks.size() == 1);
  CHECK(fen.breaks[0].from.quantity.value == 35);
  CHECK(fen.breaks[0].price.quantity.value == doctest::Approx(8.40));
  CHECK(peat.offers[1].lead_time->value == 2 * 86400.0);
  CHECK(peat.keeps->value == 56 * 86400.0);
  CHECK(peat.storage->quantity.value == doctest::Approx(0.20));
  CHECK(peat.use_by.has_value());
  CHECK(site.supplies.at("label").supplier->value == "Brook Pots");
  CHECK(site.supplies.at("label").offers.empty());
}

TEST_CASE("the currency may stand in an offer alone") {
  const Site site =
      site_of("supplies: {a: {offers: {Fen: {price: 3 EUR}, Lane: {price: 4 EUR}}}}\n");
  REQUIRE(site.currency.has_value());
  CHECK(site.currency->value == "EUR");
}

TEST_CASE("terms that cannot be are told where they stand") {
  const auto code_of = [](const std::string& supply) {
    const auto problems = problems_of_site("site: North house\nsupplies: {a: " + supply + "}\n");
    REQUIRE_MESSAGE(problems.size() == 1, supply);
    return problems.front();
  };
  CHECK(code_of("{supplier: Fen, offers: {Lane: {price: 3}}}") ==
        "site.yaml:2:26 error several-suppliers `supplier` says who alone sells it, and `offers` "
        "names others. Give each supplier a line under `offers`, and leave `supplier` out.");
  CHECK(code_of("{keeps: 3 h}") ==
        "site.yaml:2:23 error out-of-range `keeps` has to be a day or more. What is bought is used "
        "on the day on which it comes, or later.");
  CHECK(code_of("{delivery: 3 EUR per pack}") ==
        "site.yaml:2:26 error wrong-value `delivery` wants money for each delivery, such as "
        "`35.00`.");
  CHECK(code_of("{minimum: 0}") ==
        "site.yaml:2:25 error out-of-range `minimum` has to be more than 0.");
  CHECK(code_of("{breaks: 9 EUR}") ==
        "site.yaml:2:24 error wrong-value `breaks` wants a price for each amount from which it "
        "holds, such as `{10 packs: 21.50 per pack}`.");
  CHECK(code_of("{breaks: {ten packs: 9 EUR}}").starts_with("site.yaml:2:25 error "));
  CHECK(code_of("{breaks: {10 packs: nine}}").starts_with("site.yaml:2:35 error "));
  CHECK(code_of("{offers: Fen}") ==
        "site.yaml:2:24 error wrong-value `offers` wants a line for each supplier, such as `{Fen "
        "Peat: {price: 24.00 per pack}}`.");
  CHECK(code_of("{offers: {Fen: {keeps: 3 days}}}").find("is not a key of an offer") !=
        std::string::npos);
  CHECK(code_of("{use_by: soon}").starts_with("site.yaml:2:24 error "));
  CHECK(code_of("{storage: -1}").starts_with("site.yaml:2:25 error out-of-range"));
}
