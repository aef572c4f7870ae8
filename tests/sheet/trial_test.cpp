#include "sheet/trial.hpp"

#include "sample.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

std::string findings(const std::string& statements) {
  return Sample(protocol(statements)).findings();
}

}  // namespace

TEST_CASE("a sound protocol has no findings") {
  CHECK(findings(R"(
  input take = 80 % from 10 % to 100 %
  stage root of plant { lasts 8 to 12 days usually 10 days  loses 1 - take
    keep air 20 degC  taper humidity 90 % to 70 % over 5 days
    do "Look" every 2 days from day 3 { time 10 min } }
  require root.left >= root.plants / 2 else "Too few."
)")
            .empty());
}

TEST_CASE("a value outside its range") {
  CHECK(findings(R"(
  let short = 3 days
  stage root of plant { lasts 2 days to 5 days usually 3 * short }
)") == "");
  CHECK(findings(R"(
  let hot = 40 degC
  stage root of plant { lasts 5 days  keep air if 1 < 2 then 120 degC else hot }
)") == "");
  CHECK(findings(R"(
  input dead = 50 %
  stage root of plant { lasts 5 days  loses 2 * dead }
)") == "");
  CHECK(findings(R"(
  let gap = 40 min
  stage root of plant { lasts 5 days  mist 10 s every gap / 300 until day 3 }
)") == "");
}

TEST_CASE("a taper of the mist whose pulses outgrow their interval") {
  CHECK(findings(R"(
  let gap = 20 s
  stage root of plant { lasts 9 days  mist 30 s every 10 min until day 3
    taper mist every 10 min to gap from day 4 to last day }
)") == "");
}

TEST_CASE("no value") {
  CHECK(findings(R"(
  table days_at(medium degC -> days) { 16: 20  24: 10 }
  stage root of plant { lasts days_at(26 degC) }
)") == "");
  CHECK(findings(R"(
  input zero = 0
  stage root of plant { lasts 5 days  do "Pot" on day 1 { rate 60 per hour / zero } }
)") == "");
}

TEST_CASE("work after the end of its stage") {
  CHECK(findings(R"(
  stage root of plant { lasts 8 to 12 days usually 10 days
    do "Never" on day 13
    do "Seldom" on day 12
    do "Sometimes" every 2 days from day 11
    do "Too long" daily from day 2 to day 30
    keep air 20 degC from day 14 to day 15 }
)") == "");
}

TEST_CASE("the last day of a stage that falls on one day is day 1") {
  CHECK(
      findings("stage cut of plant { lasts 3 hours  do \"Cut\" on day 1  do \"Wipe\" on last day }")
          .empty());
}

TEST_CASE("a rule that no batch could meet") {
  CHECK(findings(R"(
  stage root of plant { lasts 10 days  loses 30 % }
  stage grow of plant { lasts 20 days }
  require grow.end <= root.start + 4 weeks else "They outgrow their pots."
  advise root.left >= 0.75 * root.plants else "Fewer than three in four root."
)") == "");
}

TEST_CASE("a rule that only some batches do not meet is left to them") {
  CHECK(findings(R"(
  stage root of plant { lasts 10 days }
  require root.plants <= 50 else "Too many for the bench."
  require root.plants >= 500 else "Too few for a lorry."
)")
            .empty());
}

TEST_CASE("a rule on the calendar is left to the batches, also by way of a let") {
  CHECK(findings(R"(
  let frost = 2027-10-01
  stage root of plant { lasts 10 days }
  require root.end <= frost else "Frost."
  require root.end <= 2027-10-01 else "Frost."
)")
            .empty());
}

TEST_CASE("dates that contradict each other whatever the batch") {
  CHECK(findings(R"(
  part pollen  part cross
  stage grow of plant { lasts 20 days  may wait 2 days }
  stage force of pollen { lasts 5 days  after grow by 4 days }
  stage meet joins plant with pollen into cross { lasts 1 day }
)") == "");
}

TEST_CASE("lengths that nature may pick so that a limit cannot be met") {
  CHECK(findings(R"(
  part pollen  part cross
  stage grow of plant { lasts 20 to 30 days usually 22 days  no wait }
  stage force of pollen { lasts 5 days  no wait }
  stage meet joins plant with pollen into cross { lasts 1 day }
)") == "");
}

TEST_CASE("what is wrong with one protocol does not hide what is wrong with the next") {
  text::Diagnostics diagnostics;
  text::Sources sources;
  const text::Source& source = sources.add("two.bud", R"(
protocol first { part plant  input zero = 0
  stage root of plant { lasts 5 days / zero } }
protocol second { part plant
  stage root of plant { lasts 5 days  do "Never" on day 9 } }
)");
  for (language::Protocol& one : language::read(source, diagnostics)) {
    try_out(compile(std::move(one), diagnostics), diagnostics);
  }
  CHECK(listed(diagnostics) == "");
}
