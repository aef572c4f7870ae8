#include "sheet/template/compile.hpp"

#include <algorithm>

#include "sample.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

const char* two_stages = R"(
  input take = 80 % from 10 % to 100 %
  let lead = grow.end - root.start
  table days_at(medium degC -> days) { 16: 20  20: 12  24: 10 }
  stage root of plant {
    lasts 8 days to 30 days usually days_at(22 degC)
    loses 1 - take
    room bench
    space ceil(plants / 50) trays
    do "Stick" on day 1 { rate 100 per hour  crew sticking }
  }
  stage grow of plant { lasts 2 weeks  may wait 2 days  loses 5 % }
  require lead <= 40 days else "Too long."
)";

}  // namespace

TEST_CASE("every value of a protocol is a cell with a name") {
  const Sample sample(protocol(two_stages));
  for (const char* name :
       {"batch.plants", "batch.ready",   "batch.hours",   "take",          "lead",
        "root.start",   "root.end",      "root.earliest", "root.latest",   "root.days",
        "root.plants",  "root.left",     "root.hours",    "root.shortest", "root.usual",
        "root.longest", "root.survival", "root.space",    "grow.plants",   "grow.wait",
        "require.1"}) {
    INFO(name);
    CHECK(sample.t().find(name) != no_cell);
  }
  CHECK(sample.t().find("root.wait") == no_cell);
  CHECK(sample.t().find("nothing") == no_cell);
}

TEST_CASE("no two cells share a name") {
  const Sample sample(protocol(two_stages));
  std::vector<std::string> names;
  for (const Cell& cell : sample.t().cells) names.push_back(cell.name);
  std::sort(names.begin(), names.end());
  CHECK(std::adjacent_find(names.begin(), names.end()) == names.end());
}

TEST_CASE("each cell comes once and after all that it rests on") {
  const Sample sample(protocol(two_stages));
  const Template& t = sample.t();
  std::vector<bool> known(t.cells.size(), false);
  bool dates_known = false;
  std::size_t seen = 0;
  for (const CellId id : t.order) {
    if (id == Template::dates_turn) {
      for (const CellId used : t.dates.uses) CHECK(known[used]);
      dates_known = true;
      continue;
    }
    INFO(t.cell(id).name);
    CHECK_FALSE(known[id]);
    if (t.cell(id).kind == Cell::Kind::date) CHECK(dates_known);
    for (const CellId used : t.cell(id).uses) CHECK(known[used]);
    known[id] = true;
    ++seen;
  }
  CHECK(dates_known);
  CHECK(seen == t.cells.size());
}

TEST_CASE("inputs take the batch's value, else the site's, else the protocol's") {
  const Sample sample(protocol(two_stages));
  const CellId take = sample.cell("take");
  BatchFacts own = ready_by("2027-05-07");
  own.inputs = {{take, 0.5}};

  const Sheet plain = sample.sheet({ready_by("2027-05-07"), own});
  CHECK(plain.value(take, 0) == doctest::Approx(0.8));
  CHECK(plain.value(take, 1) == doctest::Approx(0.5));

  Site site;
  site.inputs = {{take, 0.7}};
  const Sheet learned = sample.sheet({ready_by("2027-05-07"), own}, site);
  CHECK(learned.value(take, 0) == doctest::Approx(0.7));
  CHECK(learned.value(take, 1) == doctest::Approx(0.5));
}

TEST_CASE("tables are looked up with linear interpolation") {
  const Sample sample(protocol(two_stages));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07")});
  CHECK(sample.value(sheet, "root.usual") == 11);  // half way from 12 to 10 days
}

TEST_CASE("a let may rest on dates") {
  const Sample sample(protocol(two_stages));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07")});
  CHECK(sample.value(sheet, "lead") == (11 + 14) * 86400.0);
  CHECK(sample.value(sheet, "require.1") == 1);
}

TEST_CASE("a length that rests on its own dates goes round in a circle") {
  const Sample sample(protocol(R"(
  stage grow of plant { lasts if grow.start > 2027-06-01 then 10 days else 14 days }
)"));
  CHECK_FALSE(sample.compiled());
  CHECK(sample.problems() ==
        "error formula-circle 4:25 These values rest on each other in a circle: the "
        "length of `grow` rests on `grow.start`, that on the length of `grow`. Give one "
        "of them a value that rests on none of the others.\n");
}

TEST_CASE("a loss that rests on its own plants goes round in a circle") {
  const Sample sample(protocol(R"(
  stage grow of plant { lasts 10 days  loses if plants > 500 then 5 % else 8 % }
)"));
  CHECK_FALSE(sample.compiled());
  CHECK(sample.problems() ==
        "error formula-circle 4:46 These values rest on each other in a circle: the loss "
        "of `grow` rests on `grow.plants`, that on the loss of `grow`. Give one of them a"
        " value that rests on none of the others.\n");
}

TEST_CASE("a circle through a let and a second stage is shown whole") {
  const Sample sample(protocol(R"(
  let crowded = grow.plants > 500
  stage root of plant { lasts 10 days }
  stage grow of plant { lasts 14 days  loses if crowded then 9 % else 5 % }
)"));
  CHECK_FALSE(sample.compiled());
  CHECK(sample.problems() ==
        "error formula-circle 6:46 These values rest on each other in a circle: the loss "
        "of `grow` rests on `crowded`, that on `grow.plants`, that on `root.left`, that "
        "on `root.plants`, that on the loss of `grow`. Give one of them a value that "
        "rests on none of the others.\n"
        "  4:7 Here is `crowded`.\n");
}

TEST_CASE("a wait that rests on the dates goes round in a circle") {
  const Sample sample(protocol(R"(
  stage root of plant { lasts 10 days  may wait if batch.ready > 2027-06-01 then 2 days else 3 days }
  stage grow of plant { lasts 14 days }
)"));
  CHECK_FALSE(sample.compiled());
  CHECK(sample.problems() ==
        "error formula-circle 4:40 These values rest on each other in a circle: the wait "
        "of `root` rests on `batch.ready`, that on the wait of `root`. Give one of them a"
        " value that rests on none of the others.\n");
}
