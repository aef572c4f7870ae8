#include "sheet/dates/date_reasons.hpp"
#include "random_protocol.hpp"
#include "sample.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/sheet.hpp"

using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

using Hold = DateReason::Hold;

/// What the hold of a step makes of the date that it goes through.
Day bound_through(const DateReason& one, Day through, bool latest) {
  const int days = one.days.value_or(0);
  const bool later = one.by_end;  // the date comes after the one it goes through
  REQUIRE((latest || one.days.has_value()));
  return through + (later ? days : -days);
}

/// Every step follows from the next, and what it says is closed is closed and nothing else.
void check_chain(const std::vector<DateReason>& chain, bool latest) {
  for (std::size_t i = 0; i < chain.size(); ++i) {
    const DateReason& one = chain[i];
    CAPTURE(i);
    if (i + 1 < chain.size() && one.days) {
      CHECK(one.bound == bound_through(one, chain[i + 1].day, latest));
    }
    std::vector<Day> closed;
    for (const ClosedDays& some : one.closed) {
      CHECK(some.first <= some.last);
      for (Day day = some.last; day >= some.first; --day) closed.push_back(day);
    }
    std::vector<Day> gap;
    if (latest) {
      for (Day day = one.bound; day > one.day; --day) gap.push_back(day);
    } else {
      for (Day day = one.day - 1; day >= one.bound; --day) gap.push_back(day);
    }
    CHECK(closed == gap);
  }
}

Day value_day(const Sheet& sheet, CellId cell) {
  return static_cast<Day>(sheet.value(cell, 0));
}

}  // namespace

TEST_CASE("reasons of random protocols add up, step by step, and name the days that are closed") {
  const Day middle = day("2027-06-13");
  int told = 0;
  int closed = 0;
  int forwards = 0;
  for (std::uint32_t seed = 0; seed < 400; ++seed) {
    CAPTURE(seed);
    const RandomProtocol random(seed, 4);
    const Sample sample(random.text());
    BatchFacts batch;
    batch.plants = 100;
    (seed % 2 == 0 ? batch.ready : batch.not_before) = middle + static_cast<Day>(seed % 7);
    const Sheet sheet = sample.sheet({batch}, weekdays({"2027-06-09", "2027-06-10"}));
    if (sheet.conflict(0)) continue;
    for (const StageCells& cells : sheet.layout().stages) {
      for (const CellId date : {cells.start, cells.end}) {
        const auto chain = reasons_of({sheet, 0}, date);
        REQUIRE_FALSE(chain.empty());
        CHECK(chain.front().cell == date);
        CHECK(chain.front().day == value_day(sheet, date));
        check_chain(chain, true);
        ++told;
        for (const DateReason& one : chain) closed += one.closed.empty() ? 0 : 1;
      }
    }
    const auto chain = reasons_not_earlier({sheet, 0}, sheet.layout().ready);
    CHECK(chain.empty() == batch.ready.has_value());
    if (chain.empty()) continue;
    ++forwards;
    CHECK(chain.front().day == value_day(sheet, sheet.layout().ready));
    CHECK(chain.back().hold == Hold::started);
    check_chain(chain, false);
  }
  CHECK(told > 500);
  CHECK(closed > 100);
  CHECK(forwards > 50);
}

TEST_CASE("a step says whether a pin has happened, and where it is written") {
  const Sample sample(protocol(R"(
  stage grow of plant { lasts 10 days }
  stage pot of plant { lasts 1 day }
)"));
  const text::Source place("batches.yaml", "pot.start: 2027-05-04");
  for (const bool recorded : {false, true}) {
    BatchFacts batch = ready_by("2027-05-28");
    batch.pins.push_back({StageId(1), false, day("2027-05-04"), recorded, {&place, 0, 9}});
    const Sheet sheet = sample.sheet({batch});
    const auto chain = reasons_of({sheet, 0}, sample.cell("grow.start"));
    REQUIRE(chain.size() == 3);
    CHECK(chain[0].hold == Hold::length);
    CHECK(chain[0].days == 10);
    CHECK(chain[1].hold == Hold::follows);
    CHECK(chain[2].hold == Hold::pinned);
    CHECK(chain[2].recorded == recorded);
    CHECK(chain[2].span.source == &place);
  }
}
