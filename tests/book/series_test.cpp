#include <doctest/doctest.h>

#include "book/batches/batch.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;
namespace calendar = budwood::calendar;

namespace {

/// A batch of primulas with these further lines in its braces.
std::string batch_with(const std::string& more, const std::string& id = "PR") {
  return "batches:\n  - {batch: " + id + ", protocol: sowing, plants: 300, " + more + "}\n";
}

/// "PR-1 2027-03-01" a line.
std::string ids_and_dates(const std::string& batches) {
  Outcome outcome;
  read(small_site, batches, outcome);
  REQUIRE(joined(outcome.problems).empty());
  std::string text;
  for (const Batch& batch : outcome.book->batches) {
    const auto& date = batch.ready ? batch.ready : batch.start;
    text += batch.id.value + " " + calendar::iso_date(date->value) + "\n";
  }
  return text;
}

}  // namespace

TEST_CASE("a series is so many batches, each so many days after the one before") {
  CHECK(ids_and_dates(batch_with("ready: 2027-02-22, every: 7 days, times: 3")) ==
        "PR-1 2027-02-22\nPR-2 2027-03-01\nPR-3 2027-03-08\n");
  CHECK(ids_and_dates(batch_with("start: 2027-12-30, every: 1 week, times: 2")) ==
        "PR-1 2027-12-30\nPR-2 2028-01-06\n");
  // 2028 has a 29 February.
  CHECK(ids_and_dates(batch_with("ready: 2028-02-28, every: 1 day, times: 3")) ==
        "PR-1 2028-02-28\nPR-2 2028-02-29\nPR-3 2028-03-01\n");
}

TEST_CASE("the batches of a series have everything else in common") {
  Outcome outcome;
  read(
      small_site,
      batch_with("ready: 2027-02-22, every: 14 days, times: 366, set: {stand: 80 %}, note: spring"),
      outcome);
  REQUIRE(outcome.problems.empty());
  REQUIRE(outcome.book->batches.size() == 366);
  const Batch& last = outcome.book->batches.back();
  CHECK(last.id.value == "PR-366");
  CHECK(last.plants.value == 300);
  CHECK(last.set.at("stand").text == "80 %");
  CHECK(last.note == "spring");
  CHECK(budwood::text::describe(last.ready->span).ends_with("batches.yaml:2:55"));
}

TEST_CASE("every mistake in a series is named at its place and leaves it out") {
  struct Mistake {
    std::string batches;
    const char* problem;
  };
  const std::string too_long(36, 'P');
  const Mistake mistakes[] = {
      {batch_with("ready: 2027-02-22, every: 7 days"),
       "batches.yaml:2:74 error missing-key `every` and `times` belong together, and `times` is "
       "missing. Write both, such as `every: 7 days` and `times: 6`."},
      {batch_with("ready: 2027-02-22, times: 3"),
       "batches.yaml:2:74 error missing-key `every` and `times` belong together, and `every` is "
       "missing. Write both, such as `every: 7 days` and `times: 6`."},
      {batch_with("ready: 2027-02-22, every: 7, times: 3"),
       "batches.yaml:2:74 error wrong-value `every` wants whole days from 1 to 366, such as `7 "
       "days`."},
      {batch_with("ready: 2027-02-22, every: 36 h, times: 3"),
       "batches.yaml:2:74 error wrong-value `every` wants whole days from 1 to 366, such as `7 "
       "days`."},
      {batch_with("ready: 2027-02-22, every: 0 days, times: 3"),
       "batches.yaml:2:74 error out-of-range `every` can be from 1 to 366 days."},
      {batch_with("ready: 2027-02-22, every: 367 days, times: 3"),
       "batches.yaml:2:74 error out-of-range `every` can be from 1 to 366 days."},
      {batch_with("ready: 2027-02-22, every: 7 days, times: 1"),
       "batches.yaml:2:89 error out-of-range `times` can be from 2 to 366."},
      {batch_with("ready: 2027-02-22, every: 7 days, times: 367"),
       "batches.yaml:2:89 error out-of-range `times` can be from 2 to 366."},
      {batch_with("ready: 2027-02-22, every: 7 days, times: 3, pins: {sowing.start: 2027-01-11}"),
       "batches.yaml:2:113 error pins-in-series A fixed date cannot hold for every batch of a "
       "series. Take out the `pins`, or write the batches one by one."},
      {batch_with("ready: 2199-12-01, every: 30 days, times: 3"),
       "batches.yaml:2:74 error no-such-date The last of these batches would come after the "
       "calendar, which ends with 2199."},
      {batch_with("ready: 2027-02-22, every: 7 days, times: 100", too_long + "P"),
       "batches.yaml:2:13 error bad-name The batches of this series would be called "
       "`PPPPPPPPPPPPPPPPPPPPPPPPPPPPPPPPPPPPP-100`, which is too long. A batch has a name of at "
       "most 40 characters, its number included."},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(mistake.batches);
    Outcome outcome;
    read(small_site, mistake.batches, outcome);
    CHECK(joined(outcome.problems) == std::string(mistake.problem) + "\n");
    CHECK(outcome.book->batches.empty());
  }
  CHECK(problems_of_batches(batch_with("ready: 2027-02-22, every: 7 days, times: 100", too_long))
            .empty());
}

TEST_CASE("names stay unique between series and other batches") {
  const std::string series = batch_with("ready: 2027-02-22, every: 7 days, times: 3");
  const auto problem = [&](const std::string& id) {
    const auto problems = problems_of_batches(
        series + "  - {batch: " + id + ", protocol: sowing, plants: 1, ready: 2027-02-22}\n");
    REQUIRE(problems.size() == 1);
    return problems.front();
  };
  CHECK(
      problem("PR-2") ==
      "batches.yaml:3:13 error duplicate-batch There is a batch `PR-2` already. Give each batch a "
      "name of its own.");
  CHECK(problem("PR") ==
        "batches.yaml:3:13 error duplicate-batch There is a batch `PR` already. Give each batch a "
        "name of its own.");
  CHECK(
      ids_and_dates(series + "  - {batch: PR-4, protocol: sowing, plants: 1, ready: 2027-02-22}\n")
          .ends_with("PR-4 2027-02-22\n"));
}

TEST_CASE("a few lines cannot ask for more batches than a book holds") {
  std::string batches = "batches:\n";
  for (int i = 0; i < 600; ++i) {
    batches += "  - {batch: A" + std::to_string(i) +
               ", protocol: p, plants: 1, ready: 2027-02-22, every: 1 day, times: 366}\n";
  }
  Outcome outcome;
  read(small_site, batches, outcome);
  REQUIRE(outcome.problems.size() == 1);
  // 546 series of 366 are 199 836 batches; the next one would go beyond.
  CHECK(outcome.problems.front() ==
        "batches.yaml:548:5 error too-many-batches A book holds 200000 batches at most. Split the "
        "book.");
  CHECK(outcome.book->batches.size() == 200'000);
}
