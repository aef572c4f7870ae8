#include "reading.hpp"

/// Recipes: what they mean, and what protocols based on others make of them.
namespace {

using namespace reading;

std::string with_recipes(const std::string& recipes, const std::string& more = "") {
  return "protocol mixed \"Mixed\" {\n  edition 1\n  supply base \"Base\" in L\n"
         "  supply lime \"Lime\" in kg\n  supply bag \"Bag\" in bags\n" +
         recipes +
         "\n  part plant\n  stage potting of plant {\n    lasts 1 day\n"
         "    do \"Pot\" on day 1 { use 1 L mix each }\n  }\n}\n" +
         more;
}

const std::string house_mix =
    "  recipe mix \"House mix\" makes 100 L { use 60 L base  use 300 g lime  use 2 bag }\n";

}  // namespace

TEST_CASE("a recipe is worked out in base units, and declares what it makes") {
  const Reading read(with_recipes(
      "  recipe mix makes 100 L in vessels of 250 L, keeps 2 weeks, made 1 day before {\n"
      "    use (dilution(10 %, 1 %, 100 L)) base  use (2 * 150 g) lime  use 2 bag\n"
      "    time 30 min  setup 10 min  people 2  crew potting  tool \"Mixer\" }\n"));
  const Protocol& protocol = read.protocol();
  REQUIRE(protocol.recipes.size() == 1);
  const language::Recipe& recipe = protocol.recipes.front();
  CHECK(protocol.supplies[recipe.supply].name == "mix");
  CHECK(protocol.supplies[recipe.supply].unit.symbol == "L");
  CHECK(recipe.title == "mix");
  CHECK(recipe.makes == doctest::Approx(0.1));
  CHECK(recipe.vessel == doctest::Approx(0.25));
  CHECK(*recipe.keeps == 14 * 86400);
  CHECK(recipe.before == 1);
  REQUIRE(recipe.of.size() == 3);
  CHECK(recipe.of[0].amount == doctest::Approx(0.01));
  CHECK(recipe.of[1].amount == doctest::Approx(0.3));
  CHECK(recipe.of[2].amount == 2);
  CHECK(recipe.time == 1800);
  CHECK(recipe.setup == 600);
  CHECK(*recipe.people == 2);
  CHECK(recipe.crew == "potting");
  CHECK(recipe.tools == std::vector<std::string>{"Mixer"});
}

TEST_CASE("its words may be names elsewhere") {
  const Reading read(
      "protocol p {\n  supply makes in L\n  supply vessels in vessels\n  input keeps = 2 L\n"
      "  recipe made makes 1 L { use (1 L) makes }\n  part plant\n"
      "  stage s of plant { lasts 1 day\n"
      "    do \"x\" { use (keeps) made  use 1 vessels } }\n}\n");
  CHECK(read.errors() == std::vector<std::string>{});
}

TEST_CASE("a protocol based on another writes a recipe anew, renames its supply, or drops it") {
  const auto recipes_of = [](const std::string& changes) {
    const Reading read(
        with_recipes(house_mix, "protocol own based on mixed edition 1 { " + changes + " }\n"));
    INFO(read.first_message());
    REQUIRE(read.protocols().size() == 2);
    const Protocol& own = read.protocols()[1];
    std::vector<std::string> out;
    for (const language::Recipe& one : own.recipes) {
      out.push_back(own.supplies[one.supply].name + " " + std::to_string(one.of.size()));
    }
    return out;
  };
  using Texts = std::vector<std::string>;
  CHECK(recipes_of("note \"x\"") == Texts{"mix 3"});
  CHECK(recipes_of("recipe mix makes 10 L { use 10 L base }") == Texts{"mix 1"});
  CHECK(recipes_of("rename supply mix to blend") == Texts{"blend 3"});
  CHECK(recipes_of("drop recipe mix  supply mix in L") == Texts{});
}

TEST_CASE("the fingerprint is that of what is made, of what, and how") {
  const auto print = [](const std::string& recipe) {
    return Reading(with_recipes(recipe)).protocol().fingerprint;
  };
  const std::string as_it_is = print(house_mix);
  CHECK(print("  recipe mix \"House mix\" makes 100 L { use 2 bag  use 60 L base  use 300 g lime "
              "}\n") == as_it_is);
  for (
      const char* other :
      {"  recipe mix \"House mix\" makes 100 L { use 61 L base  use 300 g lime  use 2 bag }\n",
       "  recipe mix \"House mix\" makes 90 L { use 60 L base  use 300 g lime  use 2 bag }\n",
       "  recipe mix \"House mix\" makes 100 L keeps 9 days { use 60 L base  use 300 g lime  use 2 "
       "bag }\n",
       "  recipe mix \"House mix\" makes 100 L made 9 days before { use 60 L base  use 300 g lime  "
       "use 2 bag }\n",
       "  recipe mix \"House mix\" makes 100 L in vessels of 9 L { use 60 L base  use 300 g lime  "
       "use 2 bag }\n"}) {
    CHECK(print(other) != as_it_is);
  }
}
