#include "sheet/dates/dates.hpp"

#include "sample.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/sheet.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

/// The stages of a batch, a line each: "grow 2027-04-26 Mon to 2027-05-06 Thu", and when it is
/// ready.
std::string planned(const Sample& sample, const BatchFacts& batch, const Site& site = {}) {
  const Sheet sheet = sample.sheet({batch}, site);
  std::string out;
  for (std::size_t s = 0; s < sample.t().stages.size(); ++s) {
    const StageCells& cells = sample.t().stages[s];
    out += sample.t().protocol.stages[s].name + " " + shown(sheet.value(cells.start, 0)) + " to " +
           shown(sheet.value(cells.end, 0)) + "\n";
  }
  out += "ready " + shown(sheet.value(sample.t().ready, 0)) + "\n";
  return out;
}

/// Why a batch has no dates: the facts, a line each, and by how much they miss.
std::string conflict(const Sample& sample, const BatchFacts& batch, const Site& site = {}) {
  const Sheet sheet = sample.sheet({batch}, site);
  if (!sheet.conflict(0)) return planned(sample, batch, site);
  std::string out = "misses by " + std::to_string(sheet.conflict(0)->misses) + "\n";
  for (const DateConflict::Line& line : sheet.conflict(0)->lines) {
    const bool placed = line.span.source != nullptr;
    out += line.text + (placed ? " | " + written(line.span) : "") + "\n";
  }
  for (const auto& repair : sheet.conflict(0)->repairs) out += "+ " + repair.text + "\n";
  return out;
}

BatchFacts pinned(BatchFacts batch, std::int32_t stage, bool end, const std::string& date) {
  batch.pins.push_back({StageId(stage), end, day(date)});
  return batch;
}

const char* graft = R"(protocol sample {
  part scion  part stock  part plant
  stage sow_scion of scion { lasts 7 days }
  stage grow_scion of scion { lasts 8 days  may wait 2 days }
  stage sow_stock of stock { lasts 5 days }
  stage grow_stock of stock { lasts 6 days  may wait 3 days }
  stage graft joins scion with stock into plant { lasts 6 hours  no wait }
  stage heal of plant { lasts 9 days }
})";

}  // namespace

TEST_CASE("ready by a day: everything as late as it can be") {
  const Sample sample(graft);
  CHECK(planned(sample, ready_by("2027-05-07")) ==
        "sow_scion 2027-04-13 Tue to 2027-04-20 Tue\n"
        "grow_scion 2027-04-20 Tue to 2027-04-28 Wed\n"
        "sow_stock 2027-04-17 Sat to 2027-04-22 Thu\n"
        "grow_stock 2027-04-22 Thu to 2027-04-28 Wed\n"
        "graft 2027-04-28 Wed to 2027-04-28 Wed\n"
        "heal 2027-04-28 Wed to 2027-05-07 Fri\n"
        "ready 2027-05-07 Fri\n");
}

TEST_CASE("started on a day: the earliest finish, and parts that are joined come ready together") {
  const Sample sample(graft);
  CHECK(planned(sample, started_on("2027-04-01")) ==
        "sow_scion 2027-04-01 Thu to 2027-04-08 Thu\n"
        "grow_scion 2027-04-08 Thu to 2027-04-16 Fri\n"
        "sow_stock 2027-04-05 Mon to 2027-04-10 Sat\n"
        "grow_stock 2027-04-10 Sat to 2027-04-16 Fri\n"
        "graft 2027-04-16 Fri to 2027-04-16 Fri\n"
        "heal 2027-04-16 Fri to 2027-04-25 Sun\n"
        "ready 2027-04-25 Sun\n");
}

TEST_CASE("started on a day: the first stage starts on it and its plants go on as they can") {
  // Cuttings may stand the winter, and their season runs for weeks: neither puts off the start.
  const Sample sample(protocol(R"(
  stage stick of plant { season 25 July to 20 September  lasts 6 hours  no wait
    do "Stick" on day 1 { crew all } }
  stage root of plant { lasts 40 days }
  stage winter of plant { lasts 20 days  may wait 150 days }
  stage pot of plant { season 25 February to 15 May  lasts 1 day }
)"));
  CHECK(planned(sample, started_on("2027-08-16"), weekdays()) ==
        "stick 2027-08-16 Mon to 2027-08-16 Mon\n"
        "root 2027-08-16 Mon to 2027-09-25 Sat\n"
        "winter 2027-09-25 Sat to 2027-10-15 Fri\n"
        "pot 2028-02-25 Fri to 2028-02-26 Sat\n"
        "ready 2028-02-28 Mon\n");
  // A Saturday: the day before is the nearest on which people are there.
  CHECK(conflict(sample, started_on("2027-08-21"), weekdays()) ==
        "misses by 1\n"
        "The batch starts on Saturday 2027-08-21.\n"
        "\"Stick\" in `stick` needs people, but nobody works on Saturday 2027-08-21. | do "
        "\"Stick\" on day 1\n"
        "+ Start the batch 1 day earlier, on Friday 2027-08-20: the nearest day on which it can "
        "start.\n"
        "+ Work on Saturday 2027-08-21, so that `stick` can start on Saturday 2027-08-21.\n");
}

TEST_CASE("ready on a Sunday is planned to the working day before") {
  const Sample sample(protocol("stage grow of plant { lasts 10 days }"));
  CHECK(planned(sample, ready_by("2027-05-16"), weekdays()) ==
        "grow 2027-05-04 Tue to 2027-05-14 Fri\n"
        "ready 2027-05-14 Fri\n");
  CHECK(planned(sample, ready_by("2027-05-16"), weekdays({"2027-05-14", "2027-05-13"})) ==
        "grow 2027-05-02 Sun to 2027-05-12 Wed\n"
        "ready 2027-05-12 Wed\n");
}

TEST_CASE("finished at the weekend, plants are handed over on the next working day") {
  const Sample sample(
      protocol("stage grow of plant { lasts 9 days  do \"Sow\" on day 1 { crew all } }"));
  // From the 29th it would end on Saturday and be handed over on Monday all the same.
  CHECK(planned(sample, not_before("2027-04-29"), weekdays()) ==
        "grow 2027-04-30 Fri to 2027-05-09 Sun\n"
        "ready 2027-05-10 Mon\n");
}

TEST_CASE("plants change rooms on working days") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 8 days  room house }
  stage grow of plant { lasts 5 days  room house }
  stage harden of plant { lasts 6 days  room frame }
)"));
  CHECK(planned(sample, ready_by("2027-05-21"), weekdays()) ==
        "sow 2027-05-01 Sat to 2027-05-09 Sun\n"
        "grow 2027-05-09 Sun to 2027-05-14 Fri\n"
        "harden 2027-05-14 Fri to 2027-05-20 Thu\n"
        "ready 2027-05-20 Thu\n");
}

TEST_CASE("a look is moved to a day on which somebody is there, and forbids no start") {
  const auto with = [](const std::string& work) {
    return Sample(protocol("stage grow of plant { lasts 9 days  do \"Count\" " + work + " }"));
  };
  // Day 7 of a stage that starts on a Sunday, and the last of one that starts on a Friday.
  CHECK(planned(with("on day 7 { crew all  record rooted in plants }"), ready_by("2027-05-18"),
                weekdays()) ==
        "grow 2027-05-09 Sun to 2027-05-18 Tue\n"
        "ready 2027-05-18 Tue\n");
  CHECK(planned(with("on day 7 { crew all  tagged water }"), ready_by("2027-05-18"), weekdays()) ==
        "grow 2027-05-08 Sat to 2027-05-17 Mon\n"
        "ready 2027-05-17 Mon\n");
}

TEST_CASE("`after ... by` does not override what the stage before says of waiting") {
  const auto with = [](const std::string& wait) {
    return Sample(protocol("stage sow of plant { lasts 8 days " + wait +
                           " } stage pot of plant { lasts 1 day after sow by 2 to 4 days }"));
  };
  CHECK(conflict(with("no wait"), ready_by("2027-05-14")).find("follows `sow` at once") !=
        std::string::npos);
  CHECK(conflict(with("may wait 1 day"), ready_by("2027-05-14")).find("wait at most 1 day") !=
        std::string::npos);
  for (const char* wait : {"may wait 3 days", ""}) {
    CHECK(conflict(with(wait), ready_by("2027-05-14")).find("misses") == std::string::npos);
  }
}

TEST_CASE("lengths under a shift fall on the same day") {
  const Sample sample(protocol(R"(
  stage cut of plant { lasts 6 hours }
  stage dip of plant { lasts 20 min }
  stage root of plant { lasts 10 days }
)"));
  CHECK(planned(sample, ready_by("2027-05-07")) ==
        "cut 2027-04-27 Tue to 2027-04-27 Tue\n"
        "dip 2027-04-27 Tue to 2027-04-27 Tue\n"
        "root 2027-04-27 Tue to 2027-05-07 Fri\n"
        "ready 2027-05-07 Fri\n");
  Site short_shift;
  short_shift.shift_seconds = 5 * 3600;
  CHECK(planned(sample, ready_by("2027-05-07"), short_shift) ==
        "cut 2027-04-26 Mon to 2027-04-27 Tue\n"
        "dip 2027-04-27 Tue to 2027-04-27 Tue\n"
        "root 2027-04-27 Tue to 2027-05-07 Fri\n"
        "ready 2027-05-07 Fri\n");
}

TEST_CASE("work with a crew starts a stage on a working day, and closures count") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 3 days  do "Sow" on day 1 { crew all } }
  stage grow of plant { lasts 14 days }
)"));
  // 14 + 3 days before Friday 7 May is Tuesday 20 April.
  CHECK(planned(sample, ready_by("2027-05-07"), weekdays()) ==
        "sow 2027-04-20 Tue to 2027-04-23 Fri\n"
        "grow 2027-04-23 Fri to 2027-05-07 Fri\n"
        "ready 2027-05-07 Fri\n");
  // On a closed Tuesday it is sown on Monday, is over on Thursday and grows until Thursday: who
  // says nothing of waiting waits for the next working day only.
  CHECK(planned(sample, ready_by("2027-05-07"), weekdays({"2027-04-20"})) ==
        "sow 2027-04-19 Mon to 2027-04-22 Thu\n"
        "grow 2027-04-22 Thu to 2027-05-06 Thu\n"
        "ready 2027-05-06 Thu\n");
}

TEST_CASE("without a word on waiting plants wait for the next working day, three days at most") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 8 days  do "Sow" on day 1 { crew all } }
  stage pot of plant { lasts 1 day  do "Pot" on day 1 { crew all } }
)"));
  // Sown on Friday, over on Saturday, potted on Monday.
  CHECK(planned(sample, ready_by("2027-04-27"), weekdays()) ==
        "sow 2027-04-16 Fri to 2027-04-24 Sat\n"
        "pot 2027-04-26 Mon to 2027-04-27 Tue\n"
        "ready 2027-04-27 Tue\n");
  // The Monday after and the one in between are closed.
  CHECK(planned(sample, ready_by("2027-04-28"), weekdays({"2027-04-26", "2027-04-19"})) ==
        "sow 2027-04-16 Fri to 2027-04-24 Sat\n"
        "pot 2027-04-27 Tue to 2027-04-28 Wed\n"
        "ready 2027-04-28 Wed\n");
  // Four days are too long: it is sown earlier, and not so that it ends before four closed days.
  CHECK(planned(sample, ready_by("2027-04-29"),
                weekdays({"2027-04-26", "2027-04-27", "2027-04-19", "2027-04-20"})) ==
        "sow 2027-04-14 Wed to 2027-04-22 Thu\n"
        "pot 2027-04-22 Thu to 2027-04-23 Fri\n"
        "ready 2027-04-23 Fri\n");
}

TEST_CASE("a stated wait may be used on any day, and full days count") {
  const std::string stages = R"(
  stage sow of plant { lasts 8 days  may wait WAIT  do "Sow" on day 1 { crew all } }
  stage pot of plant { lasts 1 day  do "Pot" on day 1 { crew all } }
)";
  const auto waiting = [&](const std::string& wait) {
    std::string text = stages;
    return protocol(text.replace(text.find("WAIT"), 4, wait));
  };
  const Site closed = weekdays({"2027-04-26", "2027-04-27", "2027-04-19", "2027-04-20"});
  CHECK(planned(Sample(waiting("4 days")), ready_by("2027-04-29"), closed) ==
        "sow 2027-04-16 Fri to 2027-04-24 Sat\n"
        "pot 2027-04-28 Wed to 2027-04-29 Thu\n"
        "ready 2027-04-29 Thu\n");
  CHECK(planned(Sample(waiting("95 hours")), ready_by("2027-04-29"), closed) ==
        "sow 2027-04-14 Wed to 2027-04-22 Thu\n"
        "pot 2027-04-22 Thu to 2027-04-23 Fri\n"
        "ready 2027-04-23 Fri\n");
}

TEST_CASE("no wait: what follows starts on the day") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 8 days  no wait  do "Sow" on day 1 { crew all } }
  stage pot of plant { lasts 1 day  do "Pot" on day 1 { crew all } }
)"));
  CHECK(planned(sample, not_before("2027-04-16"), weekdays()) ==
        "sow 2027-04-19 Mon to 2027-04-27 Tue\n"
        "pot 2027-04-27 Tue to 2027-04-28 Wed\n"
        "ready 2027-04-28 Wed\n");
}

TEST_CASE("work that must be done within some days narrows the start by as much as it has to") {
  const Sample sample(protocol(R"(
  stage grow of plant { lasts 14 days  do "Pinch" on day 6 within 1 day { crew all } }
)"));
  // Day 6 falls on Friday at the latest, or on Sunday with Monday in reach; not on Saturday.
  CHECK(planned(sample, ready_by("2027-05-07"), weekdays()) ==
        "grow 2027-04-23 Fri to 2027-05-07 Fri\n"  // day 6 is Wednesday
        "ready 2027-05-07 Fri\n");
  CHECK(planned(sample, ready_by("2027-05-10"), weekdays()) ==
        "grow 2027-04-25 Sun to 2027-05-09 Sun\n"  // on the 26th day 6 would be Saturday
        "ready 2027-05-10 Mon\n");
}

TEST_CASE("after another stage by some days") {
  const auto with = [](const std::string& after) {
    return Sample(
        protocol("part pollen  part cross\n"
                 "stage grow of plant { lasts 20 days  may wait 30 days }\n"
                 "stage force of pollen { lasts 5 days  " +
                 after +
                 " }\n"
                 "stage meet joins plant with pollen into cross { lasts 1 day }\n"));
  };
  CHECK(planned(with("after grow by 4 days"), ready_by("2027-05-07")) ==
        "grow 2027-04-07 Wed to 2027-04-27 Tue\n"
        "force 2027-05-01 Sat to 2027-05-06 Thu\n"
        "meet 2027-05-06 Thu to 2027-05-07 Fri\n"
        "ready 2027-05-07 Fri\n");
  CHECK(planned(with("after grow by 2 to 4 days"), ready_by("2027-05-07")) ==
        "grow 2027-04-09 Fri to 2027-04-29 Thu\n"
        "force 2027-05-01 Sat to 2027-05-06 Thu\n"
        "meet 2027-05-06 Thu to 2027-05-07 Fri\n"
        "ready 2027-05-07 Fri\n");
  CHECK(planned(with("after grow"), ready_by("2027-05-07")) ==
        "grow 2027-04-11 Sun to 2027-05-01 Sat\n"
        "force 2027-05-01 Sat to 2027-05-06 Thu\n"
        "meet 2027-05-06 Thu to 2027-05-07 Fri\n"
        "ready 2027-05-07 Fri\n");
  // Under a shift is the same day; 12 hours are longer and take a day.
  CHECK(planned(with("after grow by 2 hours"), ready_by("2027-05-07")) ==
        planned(with("after grow"), ready_by("2027-05-07")));
  CHECK(planned(with("after grow by 12 hours"), ready_by("2027-05-07")) ==
        "grow 2027-04-10 Sat to 2027-04-30 Fri\n"
        "force 2027-05-01 Sat to 2027-05-06 Thu\n"
        "meet 2027-05-06 Thu to 2027-05-07 Fri\n"
        "ready 2027-05-07 Fri\n");
}

TEST_CASE("after the stage that gives the plants says how long they wait") {
  const Sample sample(protocol(R"(
  stage lift of plant { lasts 2 days }
  stage chill of plant { after lift by 10 to 12 days  lasts 20 days }
)"));
  CHECK(planned(sample, ready_by("2027-05-07")) ==
        "lift 2027-04-05 Mon to 2027-04-07 Wed\n"
        "chill 2027-04-17 Sat to 2027-05-07 Fri\n"
        "ready 2027-05-07 Fri\n");
}

TEST_CASE("pins fix dates, and the rest falls round them") {
  const Sample sample(graft);
  CHECK(planned(sample, pinned(ready_by("2027-05-07"), 4, false, "2027-04-26")) ==
        "sow_scion 2027-04-11 Sun to 2027-04-18 Sun\n"
        "grow_scion 2027-04-18 Sun to 2027-04-26 Mon\n"
        "sow_stock 2027-04-15 Thu to 2027-04-20 Tue\n"
        "grow_stock 2027-04-20 Tue to 2027-04-26 Mon\n"
        "graft 2027-04-26 Mon to 2027-04-26 Mon\n"
        "heal 2027-04-26 Mon to 2027-05-05 Wed\n"
        "ready 2027-05-05 Wed\n");
  // The stock is grown on until Sunday the 18th; it may wait 3 days, so the graft is on the 21st.
  CHECK(planned(sample, pinned(ready_by("2027-05-07"), 3, true, "2027-04-18")) ==
        "sow_scion 2027-04-06 Tue to 2027-04-13 Tue\n"
        "grow_scion 2027-04-13 Tue to 2027-04-21 Wed\n"
        "sow_stock 2027-04-07 Wed to 2027-04-12 Mon\n"
        "grow_stock 2027-04-12 Mon to 2027-04-18 Sun\n"
        "graft 2027-04-21 Wed to 2027-04-21 Wed\n"
        "heal 2027-04-21 Wed to 2027-04-30 Fri\n"
        "ready 2027-04-30 Fri\n");
}

TEST_CASE("the range of each end is what nature's lengths allow") {
  const Sample sample(protocol(R"(
  stage root of plant { lasts 8 to 12 days usually 10 days }
  stage grow of plant { lasts 14 to 20 days usually 15 days }
)"));
  const Sheet sheet = sample.sheet({ready_by("2027-05-07")});
  CHECK(shown(sample.value(sheet, "root.start")) == "2027-04-12 Mon");
  CHECK(shown(sample.value(sheet, "root.earliest")) == "2027-04-20 Tue");
  CHECK(shown(sample.value(sheet, "root.end")) == "2027-04-22 Thu");
  CHECK(shown(sample.value(sheet, "root.latest")) == "2027-04-24 Sat");
  CHECK(shown(sample.value(sheet, "grow.earliest")) == "2027-05-04 Tue");
  CHECK(shown(sample.value(sheet, "grow.end")) == "2027-05-07 Fri");
  CHECK(shown(sample.value(sheet, "grow.latest")) == "2027-05-14 Fri");
}

TEST_CASE("the range of a joined stage follows the slower part") {
  const Sample sample(R"(protocol sample {
  part scion  part stock  part plant
  stage raise_scion of scion { lasts 10 to 12 days usually 11 days }
  stage raise_stock of stock { lasts 14 to 18 days usually 15 days }
  stage graft joins scion with stock into plant { lasts 1 day }
})");
  const Sheet sheet = sample.sheet({ready_by("2027-05-07")});
  CHECK(shown(sample.value(sheet, "graft.start")) == "2027-05-06 Thu");
  CHECK(shown(sample.value(sheet, "raise_stock.earliest")) == "2027-05-05 Wed");
  CHECK(shown(sample.value(sheet, "raise_scion.earliest")) == "2027-05-05 Wed");
  CHECK(shown(sample.value(sheet, "graft.earliest")) == "2027-05-06 Thu");
  CHECK(shown(sample.value(sheet, "raise_stock.latest")) == "2027-05-09 Sun");
  CHECK(shown(sample.value(sheet, "graft.latest")) == "2027-05-10 Mon");
}

TEST_CASE("ranges keep to `after` and to pins") {
  const Sample sample(protocol(R"(
  stage lift of plant { lasts 2 to 6 days usually 3 days }
  stage chill of plant { after lift by 10 to 12 days  lasts 20 to 24 days usually 22 days }
)"));
  const Sheet sheet = sample.sheet(
      {ready_by("2027-05-07"), pinned(ready_by("2027-05-07"), 1, false, "2027-04-14")});
  CHECK(shown(sample.value(sheet, "lift.start")) == "2027-04-02 Fri");
  CHECK(shown(sample.value(sheet, "chill.start")) == "2027-04-15 Thu");
  CHECK(shown(sample.value(sheet, "chill.earliest")) == "2027-05-04 Tue");  // 4 + 10 + 20 April
  CHECK(shown(sample.value(sheet, "chill.latest")) == "2027-05-12 Wed");
  // Pinned, it starts on 14 April whatever nature does before.
  CHECK(shown(sample.value(sheet, "chill.start", 1)) == "2027-04-14 Wed");
  CHECK(shown(sample.value(sheet, "chill.earliest", 1)) == "2027-05-04 Tue");
  CHECK(shown(sample.value(sheet, "chill.latest", 1)) == "2027-05-08 Sat");
}

TEST_CASE("without a value for a length there are no dates and no contradiction either") {
  const Sample sample(protocol(R"(
  input medium = 20 degC
  table days_at(medium degC -> days) { 16: 20  24: 10 }
  stage root of plant { lasts days_at(medium) }
)"));
  BatchFacts cold = ready_by("2027-05-07");
  cold.inputs = {{sample.cell("medium"), 283.15}};
  const Sheet sheet = sample.sheet({ready_by("2027-05-07"), cold});
  CHECK(shown(sample.value(sheet, "root.start", 0)) == "2027-04-22 Thu");
  CHECK(shown(sample.value(sheet, "root.start", 1)) == "no date");
  CHECK_FALSE(sheet.conflict(1));
  const auto origin = origin_of_no_value({sheet, 1});
  REQUIRE(origin);
  CHECK(describe(sample.t().cell(*origin)) == "the length of `root`");
}

TEST_CASE("conflict: two pins too near each other") {
  const Sample sample(graft);
  CHECK(conflict(sample, pinned(pinned(ready_by("2027-05-07"), 0, false, "2027-04-10"), 4, false,
                                "2027-04-20")) ==
        "misses by 5\n"
        "`sow_scion` starts on Saturday 2027-04-10, as the batch says.\n"
        "`sow_scion` lasts 7 days. | lasts 7 days\n"
        "`grow_scion` lasts 8 days. | lasts 8 days\n"
        "`graft` starts on Tuesday 2027-04-20, as the batch says.\n"
        "+ Move the start of `graft` 5 days later, to Sunday 2027-04-25.\n"
        "+ Move the start of `sow_scion` 5 days earlier, to Monday 2027-04-05.\n");
}

TEST_CASE("conflict: an earlier start of the batch is no help when a pin keeps the day") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 14 days }
  stage grow of plant { lasts 7 days  no wait  do "Look" on day 2 { crew all } }
)"));
  // Friday, so that the look falls on a Saturday; the day before would do, but is not the pin's.
  BatchFacts facts = pinned(ready_by("2027-05-07"), 0, false, "2027-04-09");
  facts.ready.reset();
  facts.not_before = *calendar::parse_iso_date("2027-04-12");
  const std::string told = conflict(sample, facts, weekdays());
  CAPTURE(told);
  CHECK(told.find("The batch starts on Monday 2027-04-12 or later.") != std::string::npos);
  CHECK(told.find("Let the batch start") == std::string::npos);
}

TEST_CASE("conflict: what has happened is told as recorded, and is not moved") {
  const Sample sample(graft);
  BatchFacts facts =
      pinned(pinned(ready_by("2027-05-07"), 0, false, "2027-04-10"), 4, false, "2027-04-20");
  facts.pins.front().recorded = true;
  CHECK(conflict(sample, facts) ==
        "misses by 5\n"
        "`sow_scion` starts on Saturday 2027-04-10, as recorded.\n"
        "`sow_scion` lasts 7 days. | lasts 7 days\n"
        "`grow_scion` lasts 8 days. | lasts 8 days\n"
        "`graft` starts on Tuesday 2027-04-20, as the batch says.\n"
        "+ Move the start of `graft` 5 days later, to Sunday 2027-04-25.\n"
        "+ Mend the record, if it is wrong: `sow_scion` started 5 days earlier, on Monday "
        "2027-04-05.\n");
}

TEST_CASE("conflict: a pin after the ready date") {
  const Sample sample(graft);
  CHECK(conflict(sample, pinned(ready_by("2027-05-07"), 4, false, "2027-05-01")) ==
        "misses by 3\n"
        "`graft` starts on Saturday 2027-05-01, as the batch says.\n"
        "`heal` lasts 9 days. | lasts 9 days\n"
        "The batch must be ready by Friday 2027-05-07.\n"
        "+ Have it ready 3 days later, by Monday 2027-05-10.\n"
        "+ Move the start of `graft` 3 days earlier, to Wednesday 2027-04-28.\n");
}

TEST_CASE("conflict: a pin too late for the wait") {
  const Sample sample(graft);
  CHECK(conflict(sample, pinned(pinned(ready_by("2027-05-07"), 3, true, "2027-04-18"), 4, false,
                                "2027-04-23")) ==
        "misses by 2\n"
        "`grow_stock` ends on Sunday 2027-04-18, as the batch says.\n"
        "After `grow_stock` plants wait at most 3 days for `graft`. | may wait 3 days\n"
        "`graft` starts on Friday 2027-04-23, as the batch says.\n"
        "+ Move the end of `grow_stock` 2 days later, to Tuesday 2027-04-20.\n"
        "+ Let plants wait up to 5 days after `grow_stock` (`may wait 5 days`).\n"
        "+ Move the start of `graft` 2 days earlier, to Wednesday 2027-04-21.\n");
}

TEST_CASE("conflict: a pin on a day on which nobody works") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 8 days  do "Wipe" on day 1 { crew all } do "Sow" on day 2 { crew all } }
)"));
  CHECK(conflict(sample, pinned(ready_by("2027-05-07"), 0, false, "2027-04-16"), weekdays()) ==
        "misses by 1\n"
        "`sow` starts on Friday 2027-04-16, as the batch says.\n"
        "\"Sow\" in `sow` needs people; with a start on Friday 2027-04-16 it is due on Saturday"
        " 2027-04-17, but nobody works on that day. | do \"Sow\" on day 2\n"
        "+ Move the start of `sow` 3 days later, to Monday 2027-04-19.\n"
        "+ Work on Saturday 2027-04-17, so that `sow` can start on Friday 2027-04-16.\n"
        "+ Move the start of `sow` 1 day earlier, to Thursday 2027-04-15.\n");
}

TEST_CASE("conflict: a pin before the start of the batch") {
  const Sample sample(protocol("stage sow of plant { lasts 8 days }"));
  CHECK(conflict(sample, pinned(started_on("2027-04-14"), 0, false, "2027-04-10")) ==
        "misses by 4\n"
        "`sow` starts on Saturday 2027-04-10, as the batch says.\n"
        "The batch starts on Wednesday 2027-04-14.\n"
        "+ Start the batch 4 days earlier, on Saturday 2027-04-10: the nearest day on which it can "
        "start.\n"
        "+ Move the start of `sow` 4 days later, to Wednesday 2027-04-14.\n");
  CHECK(conflict(sample, pinned(not_before("2027-04-14"), 0, false, "2027-04-10")) ==
        "misses by 4\n"
        "`sow` starts on Saturday 2027-04-10, as the batch says.\n"
        "The batch starts on Wednesday 2027-04-14 or later.\n"
        "+ Move the start of `sow` 4 days later, to Wednesday 2027-04-14.\n"
        "+ Let the batch start 4 days earlier, not before Saturday 2027-04-10.\n");
}

TEST_CASE("conflict: work that must be done on two days that are never both working days") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 14 days  do "Sow" on day 1, day 3, day 5, day 7 { crew all } }
)"));
  CHECK(conflict(sample, ready_by("2027-05-07"), weekdays()) ==
        "misses by 0\n"
        "Whatever day `sow` starts on, some of its work with a crew falls on a day on which "
        "nobody works. | sow\n"
        "+ Work on Sunday 2027-04-25, so that `sow` can start on Friday 2027-04-23.\n");
}

TEST_CASE("conflict: lengths that cannot meet `after`") {
  const Sample sample(protocol(R"(
  part pollen  part cross
  stage grow of plant { lasts 20 days  may wait 2 days }
  stage force of pollen { lasts 5 days  after grow by 4 days }
  stage meet joins plant with pollen into cross { lasts 1 day }
)"));
  CHECK(conflict(sample, ready_by("2027-05-07")) ==
        "misses by 7\n"
        "`force` starts at least 4 days after `grow`. | after grow by 4 days\n"
        "After `grow` plants wait at most 2 days for `meet`. | may wait 2 days\n"
        "`force` lasts 5 days. | lasts 5 days\n"
        "+ Let plants wait up to 9 days after `grow` (`may wait 9 days`).\n");
}

TEST_CASE("conflict: before the first day and after the last day of the calendar") {
  const Sample sample(protocol("stage grow of plant { lasts 100 days }"));
  CHECK(conflict(sample, ready_by("1970-03-01")) ==
        "misses by 41\n"
        "Plans go no further back than Thursday 1970-01-01.\n"
        "`grow` lasts 100 days. | lasts 100 days\n"
        "The batch must be ready by Sunday 1970-03-01.\n"
        "+ Have it ready 41 days later, by Saturday 1970-04-11.\n");
  CHECK(conflict(sample, started_on("2199-12-01")) ==
        "misses by 70\n"
        "The batch starts on Sunday 2199-12-01.\n"
        "`grow` lasts 100 days. | lasts 100 days\n"
        "Plans go no further than Tuesday 2199-12-31.\n"
        "+ Start the batch 70 days earlier, on Sunday 2199-09-22: the nearest day on which it can "
        "start.\n");
}

TEST_CASE("what was recorded holds, whatever should have been") {
  // Monday to Friday; the start fell on a Saturday, before the batch's own start, and the stage
  // took longer than nature usually needs, with no wait after it.
  const Sample sample(
      "protocol p { part a\n"
      "  stage s of a { lasts 5 to 9 days usually 6 days no wait do \"Sow\" { time 1 h crew all } "
      "}\n"
      "  stage t of a { lasts 4 days may wait 5 days } }");
  using calendar::Weekday;
  Site site;
  site.working = calendar::WorkingDays(
      {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
      {});
  BatchFacts batch;
  batch.plants = 10;
  batch.not_before = day("2027-05-03");
  batch.pins = {{StageId(0), false, day("2027-05-01"), true},
                {StageId(0), true, day("2027-05-13"), true}};
  CHECK(planned(sample, batch, site) ==
        "s 2027-05-01 Sat to 2027-05-13 Thu\n"
        "t 2027-05-13 Thu to 2027-05-17 Mon\n"
        "ready 2027-05-17 Mon\n");
  // Wanted dates still keep to everything.
  for (Pin& pin : batch.pins) pin.recorded = false;
  const Sheet wanted = sample.sheet({batch}, site);
  CHECK(wanted.conflict(0) != nullptr);
  // Time does not run backwards, and what holds for one batch does not spoil the next.
  BatchFacts backwards = batch;
  for (Pin& pin : backwards.pins) pin.recorded = true;
  std::swap(backwards.pins[0].day, backwards.pins[1].day);
  BatchFacts plain;
  plain.plants = 10;
  plain.not_before = day("2027-05-03");
  const Sheet several = sample.sheet({backwards, plain, batch}, site);
  CHECK(several.conflict(0) != nullptr);
  CHECK(several.conflict(1) == nullptr);
  CHECK(several.value(sample.cell("s.days"), 1) == 6);
  CHECK(several.conflict(2) != nullptr);
}
