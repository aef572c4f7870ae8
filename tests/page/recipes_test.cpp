#include <doctest/doctest.h>

#include "../files/folder.hpp"
#include "page/open/snapshot.hpp"
#include "page/views/views.hpp"

/// What is made here, as the page is told.
namespace budwood::page {

namespace {

struct MixingBook {
  MixingBook() {
    folder.write("site.yaml",
                 "site: North house\nrecipes: {mix: {makes: 100 L, of: {peat: 60 L, lime: 1 kg}, "
                 "hazard: dust}}\n");
    folder.write("batches.yaml",
                 "batches: [{batch: A1, protocol: potted, plants: 80, ready: 2027-04-26}]\n");
    folder.write("potted.bud",
                 "protocol potted \"Potted\" {\n  supply mix \"Potting mix\" in L\n"
                 "  part plant\n  stage potting of plant {\n    lasts 1 day\n"
                 "    do \"Pot\" on day 1 { rate 50 per hour  use 1 L mix each }\n  }\n}\n");
  }
  Folder folder;
};

}  // namespace

TEST_CASE("the day tells what is to be made, with its cautions and how it is noted") {
  MixingBook book;
  const Snapshot now(book.folder.path(), calendar::parse_iso_date("2027-04-01"));
  REQUIRE(now.plan.makings.size() == 1);
  const std::string day = calendar::iso_date(now.plan.makings.front().date);
  const Json today = today_view(now, Question({{"day", day}}));
  REQUIRE(today["makings"].size() == 1);
  const Json& one = today["makings"][0];
  CHECK(one["supply"] == "mix");
  CHECK(one["amount"] == "100 L");
  CHECK(one["title"] == "Make 100 L: Potting mix");
  CHECK(one["supplies"] == Json({"peat: 60 L", "lime: 1 kg"}));
  CHECK(one["batches"] == Json({"A1"}));
  bool dust = false;
  for (const Json& caution : today["cautions"]) {
    dust = dust || caution.get<std::string>().starts_with("Dust:");
  }
  CHECK(dust);
  const Json needs = needs_view(now);
  for (const Json& supply : needs["supplies"]) {
    CHECK(supply["made"].is_null() == (supply["name"] != "mix"));
    if (supply["name"] == "mix") CHECK(supply["purchase"].is_null());
  }
}

}  // namespace budwood::page
