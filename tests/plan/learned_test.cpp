#include "plan/learned_values.hpp"

#include <cmath>

#include "plan/marks.hpp"
#include "planned.hpp"
#include "sheet/counts/prospects.hpp"

/// How many to start where batches differ, and where a value was learned.
using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

std::string grow(const std::string& input) {
  return "protocol p \"P\" {\n  edition 2\n  input take = " + input +
         "\n  part plant\n  stage grow of plant { lasts 9 days  loses 1 - take }\n"
         "  variant warm \"Warm\" { change stage grow { keep air 25 degC } }\n}\n";
}

book::Written written(const std::string& text) {
  book::Written out;
  out.text = text;
  out.quantity = *units::parse_quantity(text);
  return out;
}

struct Sure : Planned {
  explicit Sure(const std::string& input, int plants = 500, double sure = 0.95)
      : Planned(grow(input)) {
    add("A", plants, "2027-05-07").sure = book::Placed<double>{sure, {}};
  }

  book::LearnedValue& learn(const std::string& value) {
    book::LearnedValue one;
    one.protocol.value = "p";
    one.edition = 2;
    one.input = "take";
    one.value = written(value);
    one.usual = written("80 %");
    book().learned.push_back(one);
    return book().learned.back();
  }

  double starts() {
    const Plan& now = plan();
    const sheet::Row row = now.row_of(now.batches.front());
    return row.value(row.layout().stages[0].plants);
  }
  sheet::Row row() {
    const Plan& now = plan();
    return now.row_of(now.batches.front());
  }
};

}  // namespace

TEST_CASE("a batch that must be sure starts more where batches differ") {
  // Beta-binomial tails, worked out in three ways: exact sum, integration, R VGAM pbetabinom.ab.
  // The spread is sqrt(p q rho) of a likeness of 0.02, and of 0.05 at 90 %.
  CHECK(Sure("80 %").starts() == 646);
  CHECK(Sure("80 % spread 5.656854 %").starts() == 717);
  CHECK(Sure("80 % spread 5.656854 %", 500, 0.9).starts() == 692);
  CHECK(Sure("80 % spread 5.656854 %", 100).starts() == 146);
  CHECK(Sure("90 % spread 6.708204 %").starts() == 651);
  CHECK(Sure("70 % spread 4.582576 %", 500, 0.9).starts() == 785);
}

TEST_CASE("646 starts that luck alone calls 95 % sure are 69 % sure when batches differ") {
  const auto chance_of_646 = [](const std::string& spread) {
    Planned season("protocol p \"P\" { input take = 80 % " + spread +
                   " part plant  stage grow of plant { lasts 9 days  minimum 646 plants "
                   "loses 1 - take } }");
    season.add("A", 500, "2027-05-07");
    const Plan& plan = season.plan();
    return sheet::prospects(plan.row_of(plan.batches.front()))->chance;
  };
  CHECK(chance_of_646("") == doctest::Approx(0.95).epsilon(0.003));
  CHECK(chance_of_646("spread 5.656854 %") == doctest::Approx(0.6941).epsilon(0.0003));
}

TEST_CASE("a count in batches adds how well the mean is known") {
  const double known = Sure("80 % spread 5 %").starts();
  const double many = Sure("80 % seen 8000 of 10000 in 100 batches spread 5 %").starts();
  const double few = Sure("80 % seen 160 of 200 in 2 batches spread 5 %").starts();
  CHECK(known < many);
  CHECK(many < known + 12);
  CHECK(few > many + 20);
}

TEST_CASE("a spread goes on when a batch sets the share alone") {
  Sure season("80 % spread 5.656854 %");
  season.book().batches.front().set["take"] = written("80 %");
  CHECK(season.starts() == 717);
  season.book().batches.front().set["take"].spread = 0;
  CHECK(season.starts() == 646);
  season.book().batches.front().set["take"].spread = 0.7;
  CHECK(season.problems().find("cannot differ so much") != std::string::npos);
}

TEST_CASE("learned values take the place of usual ones, site and batch come first") {
  Sure season("80 %");
  const sheet::CellId take = season.row().layout().inputs[language::InputId(0)];
  season.learn("70 %");
  CHECK(season.row().value(take) == doctest::Approx(0.7));
  CHECK(mark_of(season.row(), take) == Mark::learned);
  CHECK(layer_of(season.row(), take) == "learned");
  season.site().inputs["p"]["take"] = written("75 %");
  CHECK(season.row().value(take) == doctest::Approx(0.75));
  CHECK(mark_of(season.row(), take) == Mark::site);
  season.book().batches.front().set["take"] = written("60 %");
  CHECK(season.row().value(take) == doctest::Approx(0.6));
  CHECK(mark_of(season.row(), take) == Mark::batch);
  CHECK(season.problems().find("learned") == std::string::npos);
}

TEST_CASE("the spread that was learned holds where the site sets the share alone") {
  Sure season("80 %");
  book::LearnedValue& one = season.learn("80 %");
  one.value.spread = 0.05656854;
  CHECK(season.starts() == 717);
  season.site().inputs["p"]["take"] = written("80 %");
  CHECK(season.starts() == 717);
}

TEST_CASE("what was learned of a method holds for its variants") {
  Sure season("80 %");
  season.learn("70 %");
  season.book().batches.front().protocol.value = "p.warm";
  const sheet::CellId take = season.row().layout().inputs[language::InputId(0)];
  CHECK(season.row().value(take) == doctest::Approx(0.7));
  season.learn("65 %").protocol.value = "p.warm";
  CHECK(season.row().value(take) == doctest::Approx(0.65));
}

TEST_CASE("what no longer holds is passed over and told") {
  const auto problems = [](const auto& change) {
    Sure season("80 %");
    change(season.learn("70 %"));
    CHECK(season.starts() == 646);
    return season.problems();
  };
  CHECK(problems([](book::LearnedValue& one) { one.edition = 1; }).find("edition 1") !=
        std::string::npos);
  CHECK(problems([](book::LearnedValue& one) {
          one.usual = written("85 %");
        }).find("no longer 85 %") != std::string::npos);
  CHECK(problems([](book::LearnedValue& one) { one.input = "strike"; }).find("no such input") !=
        std::string::npos);
  CHECK(problems([](book::LearnedValue& one) {
          one.protocol.value = "q";
        }).find("no protocol named `q`") != std::string::npos);
}
