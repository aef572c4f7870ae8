#include "plan/trials/what_if.hpp"
#include "planned.hpp"

/// What a site says of a supply, tried out in another way.
namespace budwood::plan::test {

namespace {

struct TiesBought {
  TiesBought() : planned(layering) {
    planned.add("L1", 100, "2027-06-11");
    planned.site().currency = book::Placed<std::string>{"EUR", {}};
    book::SupplyFacts& tie = planned.site().supplies["tie"];
    tie.price = quantity("4 EUR/pack");
    tie.lead_time = book::Placed<double>{8 * 86400.0, {}};
    tie.minimum = quantity("2 packs");
    book::Offer fen;
    fen.supplier.value = "Fen Peat";
    fen.price = quantity("5 EUR/pack");
    tie.offers = {fen};
  }
  std::optional<WhatIf> tried(const std::string& change) {
    diagnostics = {};
    return what_if(planned.plan(), {change}, sources, diagnostics);
  }
  std::string code_of(const std::string& change) {
    CHECK_FALSE(tried(change).has_value());
    REQUIRE(diagnostics.has_errors());
    return diagnostics.sorted().front().code;
  }
  Planned planned;
  text::Sources sources;
  text::Diagnostics diagnostics;
};

}  // namespace

TEST_CASE("terms of buying are tried out, in the unit in which they are written") {
  TiesBought ties;
  const auto price = ties.tried("site.tie.price=6");
  REQUIRE(price.has_value());
  const auto& written = price->book.site.supplies.at("tie").price->quantity;
  CHECK(written.value == 6);
  CHECK(written.unit.symbol == "EUR/pack");
  const auto more = ties.tried("site.tie.price=10 % more");
  REQUIRE(more.has_value());
  CHECK(more->book.site.supplies.at("tie").price->quantity.value == doctest::Approx(4.4));
  const auto later = ties.tried("site.tie.lead_time=3 weeks");
  REQUIRE(later.has_value());
  CHECK(later->book.site.supplies.at("tie").lead_time->value == 21 * 86400.0);
  const auto keeps = ties.tried("site.tie.keeps=4 weeks");
  REQUIRE(keeps.has_value());
  CHECK(keeps->book.site.supplies.at("tie").keeps->value == 28 * 86400.0);
  const auto free = ties.tried("site.tie.minimum=free");
  REQUIRE(free.has_value());
  CHECK_FALSE(free->book.site.supplies.at("tie").minimum.has_value());
  const auto stock = ties.tried("site.tie.on_hand=120");
  REQUIRE(stock.has_value());
  CHECK(stock->book.site.supplies.at("tie").on_hand->quantity.value == 120);
  const auto offer = ties.tried("site.tie.Fen Peat.price=20 % less");
  REQUIRE(offer.has_value());
  CHECK(offer->book.site.supplies.at("tie").offers[0].price->quantity.value == doctest::Approx(4));
}

TEST_CASE("what cannot be said of a supply is told") {
  TiesBought ties;
  CHECK(ties.code_of("site.tie.colour=3") == "unknown-name");
  CHECK(ties.code_of("site.tie.Fen.price=3") == "unknown-name");
  CHECK(ties.code_of("site.tie.Fen Peat.keeps=3 days") == "unknown-name");
  CHECK(ties.code_of("site.tie.price=free") == "wrong-value");
  CHECK(ties.code_of("site.tie.price=-1") == "out-of-range");
  CHECK(ties.code_of("site.tie.price=3 GBP") == "other-currency");
  CHECK(ties.code_of("site.tie.keeps=2 h") == "out-of-range");
  CHECK(ties.code_of("site.tie.on_hand=5 L") == "unit-mismatch");
}

}  // namespace budwood::plan::test
