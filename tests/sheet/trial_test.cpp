#include "sheet/template/trial.hpp"

#include "sample.hpp"
#include "sheet/template/compile.hpp"

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
)") == "error out-of-range 5:25 The usual length of `root` is longer than its longest (with "
       "the usual inputs: 9 days against 5 days). Check the numbers in this line.\n");
  CHECK(findings(R"(
  let hot = 40 degC
  stage root of plant { lasts 5 days  keep air if 1 < 2 then 120 degC else hot }
)") == "error out-of-range 5:39 `air` is beyond what can be set (with the usual inputs: 120 "
       "degC). Check the numbers in this line.\n");
  CHECK(findings(R"(
  input dead = 50 %
  stage root of plant { lasts 5 days  loses 2 * dead }
)") == "error out-of-range 5:45 A loss goes from 0 % to just under 100 %, in `root` "
       "(with the usual inputs: 100 %). Check the numbers in this line.\n");
  CHECK(findings(R"(
  let gap = 40 min
  stage root of plant { lasts 5 days  mist 10 s every gap / 300 until day 3 }
)") == "error out-of-range 5:39 A mist pulse is longer than its interval (with the usual "
       "inputs: 10 s against 8 s). Check the numbers in this line.\n");
}

TEST_CASE("a taper of the mist whose pulses outgrow their interval") {
  CHECK(findings(R"(
  let gap = 20 s
  stage root of plant { lasts 9 days  mist 30 s every 10 min until day 3
    taper mist every 10 min to gap from day 4 to last day }
)") == "error out-of-range 6:5 A mist pulse is longer than its interval (with the usual "
       "inputs: 30 s against 20 s). Check the numbers in this line.\n");
}

TEST_CASE("no value") {
  CHECK(findings(R"(
  table days_at(medium degC -> days) { 16: 20  24: 10 }
  stage root of plant { lasts days_at(26 degC) }
)") == "error no-value 5:25 With the usual inputs there is no value for the length of "
       "`root`: it divides by zero, looks outside a table, or grows beyond all bounds. Check"
       " the numbers it is worked out from.\n");
  CHECK(findings(R"(
  input zero = 0
  stage root of plant { lasts 5 days  do "Pot" on day 1 { rate 60 per hour / zero } }
)") == "error no-value 5:39 With the usual inputs there is no value for the rate of \"Pot\": "
       "it divides by zero, looks outside a table, or grows beyond all bounds. Check the "
       "numbers it is worked out from.\n");
}

TEST_CASE("work after the end of its stage") {
  CHECK(findings(R"(
  stage root of plant { lasts 8 to 12 days usually 10 days
    do "Never" on day 13
    do "Seldom" on day 12
    do "Sometimes" every 2 days from day 11
    do "Too long" daily from day 2 to day 30
    keep air 20 degC from day 14 to day 15 }
)") == "error outside-stage 5:19 \"Never\" would never come: `root` lasts 12 days at most. "
       "Move it into the stage, or to the stage that follows.\n"
       "warning outside-usual-stage 6:20 \"Seldom\" comes only when the stage lasts longer "
       "than the usual 10 days, so plans leave it out. Move it forward, or count it from the"
       " last day.\n"
       "warning outside-usual-stage 7:38 \"Sometimes\" comes only when the stage lasts longer "
       "than the usual 10 days, so plans leave it out. Move it forward, or count it from the"
       " last day.\n"
       "warning outside-stage 8:39 Day 30 never comes: `root` lasts 12 days at most. Write "
       "`last day` when the end of the stage is meant.\n"
       "error outside-stage 9:27 This setting would never come: `root` lasts 12 days at "
       "most. Move it into the stage, or to the stage that follows.\n"
       "warning outside-stage 9:37 Day 15 never comes: `root` lasts 12 days at most. Write "
       "`last day` when the end of the stage is meant.\n");
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
)") == "error requirement 6:3 They outgrow their pots. This is not met with the usual "
       "inputs, whatever the batch.\n"
       "warning advice 7:3 Fewer than three in four root. This is not met with the usual "
       "inputs, for a batch of one plant as for one of 100000.\n");
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
)") == "error dates-contradict 1:10 The lengths and waits of `sample` contradict each other "
       "even when people work every day; they miss by 7 days. Let plants wait up to 9 days "
       "after `grow` (`may wait 9 days`).\n"
       "  6:41 `force` starts at least 4 days after `grow`.\n"
       "  5:40 After `grow` plants wait at most 2 days for `meet`.\n"
       "  6:27 `force` lasts 5 days.\n");
}

TEST_CASE("lengths that nature may pick so that a limit cannot be met") {
  CHECK(findings(R"(
  part pollen  part cross
  stage grow of plant { lasts 20 to 30 days usually 22 days  no wait }
  stage force of pollen { lasts 5 days  no wait }
  stage meet joins plant with pollen into cross { lasts 1 day }
)") == "warning not-followable 1:10 `sample` cannot be followed in every case: nature can "
       "pick lengths after which some limit cannot be met, however the waits are chosen. Let"
       " plants wait up to 5 days after `grow` (`may wait 5 days`). Or let plants wait up to"
       " 10 days after `force` (`may wait 10 days`).\n"
       "  `meet` comes after `grow`.\n"
       "  5:62 `meet` follows `grow` at once.\n"
       "  `meet` comes after `force`.\n"
       "  6:41 `meet` follows `force` at once.\n"
       "  5:25 Nature may let `grow` take 20 days (20 to 30 days are possible).\n"
       "  5:25 Nature may let `grow` take 30 days (20 to 30 days are possible).\n"
       "  6:27 `force` takes 5 days.\n");
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
  for (language::Protocol& one : language::read(source, diagnostics).protocols) {
    try_out(compile(std::move(one), diagnostics), diagnostics);
  }
  CHECK(listed(diagnostics) ==
        "error no-value 3:25 With the usual inputs there is no value for the length of "
        "`root`: it divides by zero, looks outside a table, or grows beyond all bounds. Check"
        " the numbers it is worked out from.\n"
        "error outside-stage 5:53 \"Never\" would never come: `root` lasts 5 days at most. Move"
        " it into the stage, or to the stage that follows.\n");
}
