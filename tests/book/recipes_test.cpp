#include <doctest/doctest.h>

#include "book/site/site.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;
namespace text = budwood::text;
namespace language = budwood::language;
namespace units = budwood::units;

namespace {

/// A book with one protocol that pots plants in a mix, and this under `recipes:`.
struct OwnMix {
  explicit OwnMix(const std::string& recipes, const std::string& in_protocol = "") {
    folder.write("site.yaml", "site: N\nrecipes:\n" + recipes);
    folder.write("batches.yaml",
                 "batches: [{batch: A1, protocol: potted, plants: 6, ready: 2027-05-10}]\n");
    folder.write("potted.bud",
                 "protocol potted {\n  supply mix in L\n  supply lime in kg hazard dust\n"
                 "  supply tray in trays reused\n  supply pot in pots\n" +
                     in_protocol +
                     "  part plant\n  stage potting of plant { lasts 1 day\n"
                     "    do \"Pot\" { use 1 L mix each  use 1 g lime each  use 1 tray per 9\n"
                     "      use 1 pot each  caution \"Moist.\" } }\n}\n");
    book = read_book(folder.path(), sources, diagnostics);
    for (const auto& d : diagnostics.sorted()) problems.push_back(one_line(d));
  }
  const language::Protocol& protocol() const { return book->protocols.front(); }

  Folder folder;
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::optional<Book> book;
  std::vector<std::string> problems;
};

}  // namespace

TEST_CASE("a site's recipe takes its place in every protocol that uses what it makes") {
  const OwnMix one(
      "  mix: {makes: 100 L, vessel: 250 L, of: {peat_free: 60 L, lime: 300 g}, keeps: 4 weeks,\n"
      "        before: 1 day, time: 30 min, crew: potting, hazard: heavy, caution: Mind the "
      "mixer.}\n",
      "  recipe mix makes 10 L { use 1 kg lime  caution \"Moist.\" }\n");
  CHECK(joined(one.problems) == "");
  const language::Protocol& protocol = one.protocol();
  REQUIRE(protocol.recipes.size() == 1);
  const language::Recipe& recipe = protocol.recipes.front();
  CHECK(protocol.supplies[recipe.supply].name == "mix");
  CHECK(recipe.makes == doctest::Approx(0.1));
  CHECK(recipe.vessel == doctest::Approx(0.25));
  CHECK(*recipe.keeps == 28 * units::seconds_a_day);
  CHECK(recipe.before == 1);
  CHECK(recipe.time == 1800);
  CHECK(recipe.crew == "potting");
  REQUIRE(recipe.of.size() == 2);
  // A supply that only the recipe knows is measured as it is written there.
  const language::Supply& peat = protocol.supplies[recipe.of[0].supply];
  CHECK(peat.name == "peat_free");
  CHECK(peat.title == "peat free");
  CHECK(peat.unit.symbol == "L");
  CHECK(recipe.of[1].amount == doctest::Approx(0.3));
  // Its own caution, the usual ones of `heavy` and of the lime's dust, and that the label goes
  // first.
  REQUIRE(recipe.cautions.size() == 4);
  CHECK(recipe.cautions[0] == "Mind the mixer.");
  CHECK(recipe.cautions[1].starts_with("Heavy:"));
  CHECK(recipe.cautions[2].starts_with("Dust:"));
}

TEST_CASE("what goes into a site's recipe may have one too") {
  const OwnMix one(
      "  stock: {makes: 20 L, of: {lime: 1 kg, water: 20 L}}\n"
      "  mix: {makes: 100 L, of: {stock: 5 L, peat: 95 L}}\n");
  CHECK(joined(one.problems) == "");
  CHECK(one.protocol().recipes.size() == 2);
}

TEST_CASE("every mistake in a site's recipe is named at its place, once") {
  struct Mistake {
    const char* recipe;
    const char* problem;
  };
  const Mistake mistakes[] = {
      {"  mix: {of: {peat: 5 L}}\n", "missing-key"},
      {"  mix: {makes: 5 L}\n", "missing-key"},
      {"  mix: {makes: 0 L, of: {peat: 5 L}}\n", "out-of-range `makes` has to be more than 0."},
      {"  mix: {makes: 5 L, of: {peat: 0 L}}\n", "out-of-range `peat` has to be more than 0."},
      {"  mix: {makes: 5 kg, of: {peat: 5 L}}\n", "unit-mismatch `mix` is measured in L"},
      {"  mix: {makes: 5 L, vessel: 2 kg, of: {peat: 5 L}}\n", "unit-mismatch `mix` is measured"},
      {"  mix: {makes: 5 L, of: {lime: 5 L}}\n", "unit-mismatch `lime` is measured in kg"},
      {"  mix: {makes: 5 L, of: {peat: 5}}\n", "unit-mismatch It is not said in what `peat`"},
      {"  mix: {makes: 5 L, of: {peat: 5 L}, keeps: 0 h}\n", "out-of-range `keeps`"},
      {"  mix: {makes: 5 L, of: {peat: 5 L}, keeps: 8 L}\n", "`keeps` wants a length of time"},
      {"  mix: {makes: 5 L, of: {peat: 5 L}, before: 3 h}\n", "`before` wants whole days"},
      {"  mix: {makes: 5 L, of: {peat: 5 L}, keeps: 8 h, before: 1 day}\n", "spoilt-before"},
      {"  mix: {makes: 5 L, of: {peat: 5 L}, hazard: dusty}\n", "unknown-hazard"},
      {"  mix: {makes: 5 L, of: {peat: 5 L}, colour: brown}\n", "unknown-key"},
      {"  mixx: {makes: 5 L, of: {peat: 5 L}}\n", "unknown-name No protocol of this book has"},
      {"  tray: {makes: 5 trays, of: {peat: 5 L}}\n", "misplaced `tray` comes back"},
      {"  mix: {makes: 5 L, of: {stock: 5 L}}\n  stock: {makes: 5 L, of: {mix: 5 L}}\n",
       "recipe-circle"},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(mistake.recipe);
    const OwnMix one(mistake.recipe);
    REQUIRE(one.problems.size() == 1);
    CAPTURE(one.problems[0]);
    CHECK(one.problems[0].find(mistake.problem) != std::string::npos);
  }
}

TEST_CASE("a feed is mixed with the water of the site") {
  // A third of the 1.2 mS/cm comes with the water, so a third less goes in.
  const char* const feed = "  mix: {makes: 100 L, of: {lime: 90 g}, ec: 1.2 mS/cm, ph: 5.8}\n";
  const OwnMix one(std::string(feed) +
                   "water: {ec: 0.4 mS/cm, alkalinity: 200 mg/L, acid: sulfuric 93 %}\n");
  CHECK(joined(one.problems) == "");
  REQUIRE(one.protocol().recipes.size() == 1);
  const language::Recipe& recipe = one.protocol().recipes.front();
  CHECK(recipe.ec == doctest::Approx(0.12));
  CHECK(recipe.ph == doctest::Approx(5.8));
  REQUIRE(recipe.of.size() == 2);
  CHECK(recipe.of[0].amount == doctest::Approx(0.06));
  // 4 mmol/L, 78 % of them, in 100 L: 0.31 mol, of acid with 34.8 mol/L 9 mL.
  CHECK(one.protocol().supplies[recipe.of[1].supply].name == "acid");
  CHECK(recipe.of[1].amount * 1e6 == doctest::Approx(9.0).epsilon(0.02));
  CHECK(recipe.cautions.size() >= 2);
  const OwnMix pure(feed);
  CHECK(pure.protocol().recipes.front().of.size() == 1);
  CHECK(pure.protocol().recipes.front().of[0].amount == doctest::Approx(0.09));
  const OwnMix salty(std::string(feed) + "water: {ec: 1.3 mS/cm}\n");
  CHECK(salty.protocol().recipes.front().of[0].amount == 0);
}

TEST_CASE("the water of a site changes what is weighed for a feed, and no other recipe") {
  const char* const water = "water: {ec: 0.4 mS/cm, alkalinity: 200 mg/L, acid: sulfuric 35 %}\n";
  const OwnMix wet("  mix: {makes: 100 L, of: {lime: 90 g, rain: 100 L}, ec: 1.2 mS/cm}\n" +
                   std::string(water));
  REQUIRE(wet.protocol().recipes.front().of.size() == 2);
  CHECK(wet.protocol().recipes.front().of[0].amount == doctest::Approx(0.06));
  CHECK(wet.protocol().recipes.front().of[1].amount == doctest::Approx(0.1));
  const OwnMix dry("  mix: {makes: 100 L, of: {lime: 90 g}, ph: 6}\n" + std::string(water));
  REQUIRE(dry.protocol().recipes.front().of.size() == 1);  // no acid goes into a potting mix
  CHECK(dry.protocol().recipes.front().of[0].amount == doctest::Approx(0.09));
}

TEST_CASE("the dose of the site's acid is never given of another acid") {
  const OwnMix one(
      "  mix: {makes: 100 L, of: {lime: 90 g}, ec: 1.2 mS/cm, ph: 5.8}\n"
      "water: {alkalinity: 200 mg/L, acid: sulfuric 35 %}\n",
      "  supply acid \"Citric acid\" in mL\n");
  const language::Recipe& recipe = one.protocol().recipes.front();
  REQUIRE(recipe.of.size() == 2);
  const language::Supply& acid = one.protocol().supplies[recipe.of[1].supply];
  CHECK(acid.name == "site_acid");
  CHECK(acid.title == "Acid, sulfuric 35 %");
}

TEST_CASE("what is wrong with a feed of the site") {
  const auto problems = [](const std::string& said) {
    return joined(OwnMix("  mix: {makes: 100 L, of: {lime: 90 g}, " + said + "}\n").problems);
  };
  CHECK(problems("ec: 1.2").find("`ec` wants a conductivity") != std::string::npos);
  CHECK(problems("ec: 45 mS/cm").find("at most 20 mS/cm") != std::string::npos);
  CHECK(problems("ph: 58").find("A feed has a pH from 3 to 9") != std::string::npos);
}
