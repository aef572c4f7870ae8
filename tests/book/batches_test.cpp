#include <doctest/doctest.h>

#include "../day.hpp"
#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using budwood::tests::day;
using namespace budwood::book::test;
namespace calendar = budwood::calendar;

namespace {

/// A batch that is right, with one more line.
std::string batch_with(const std::string& line) {
  return "batches:\n  - batch: A1\n    protocol: bench_graft\n    plants: 6\n    ready: "
         "2027-05-10\n"
         "    " +
         line + "\n";
}

}  // namespace

TEST_CASE("a whole batch is read") {
  Outcome outcome;
  read(small_site, R"(batches:
  - batch: A27-003
    protocol: bench_graft edition 2
    plants: 600
    ready: 2027-05-10
    sure: 90 %
    lots: {scion_stick: "own orchard, row 4"}
    set: {graft_take: 80 %, crews_out: 3, dip: iba(olive)}
    pins: {grafting.start: 2027-02-01, callusing.end: 2027-03-01}
    note: |
      for the spring sale
      keep 20 back
  - batch: b_2
    protocol: splice
    plants: 12 plants
    start: 2027-02-01
)",
       outcome);
  REQUIRE(outcome.problems.empty());
  REQUIRE(outcome.book->batches.size() == 2);
  const Batch& a = outcome.book->batches[0];
  CHECK(a.id.value == "A27-003");
  CHECK(budwood::text::describe(a.id.span).ends_with("batches.yaml:2:12"));
  CHECK(a.protocol.value == "bench_graft");
  CHECK(a.edition->value == 2);
  CHECK(a.plants.value == 600);
  CHECK(a.ready->value == day("2027-05-10"));
  CHECK(budwood::text::describe(a.ready->span).ends_with("batches.yaml:5:12"));
  CHECK_FALSE(a.start.has_value());
  CHECK(a.sure->value == doctest::Approx(0.9));
  CHECK(a.lots.at("scion_stick").value == "own orchard, row 4");
  CHECK(a.set.at("graft_take").text == "80 %");
  CHECK(a.set.at("crews_out").quantity.value == 3);
  CHECK(a.set.at("dip").table == "iba");
  CHECK(a.set.at("dip").word == "olive");
  CHECK(a.set.at("graft_take").table.empty());
  REQUIRE(a.pins.size() == 2);
  CHECK(a.pins[0].stage == "grafting");
  CHECK(a.pins[0].side == Pin::Side::start);
  CHECK(a.pins[0].day == day("2027-02-01"));
  CHECK(a.pins[1].side == Pin::Side::end);
  CHECK(a.note == "for the spring sale\nkeep 20 back\n");

  const Batch& b = outcome.book->batches[1];
  CHECK(b.id.value == "b_2");
  CHECK_FALSE(b.edition.has_value());
  CHECK(b.plants.value == 12);
  CHECK(b.start->value == day("2027-02-01"));
  CHECK_FALSE(b.ready.has_value());
  CHECK_FALSE(b.sure.has_value());
}

TEST_CASE("every mistake in a batch is named at its place and leaves the batch out") {
  struct Mistake {
    std::string batches;
    const char* problem;
  };
  const std::string head = "batches:\n  - {batch: A1, protocol: bench_graft, ";
  const Mistake mistakes[] = {
      {"batches:\n  - {protocol: p, plants: 6, ready: 2027-05-10}\n",
       "batches.yaml:2:5 error missing-key `batch` is missing from a batch. Add a line such as "
       "`batch: A27-003`."},
      {"batches:\n  - {batch: A 27, protocol: p, plants: 6, ready: 2027-05-10}\n",
       "batches.yaml:2:13 error bad-name This cannot be the name of a batch. It has letters, "
       "digits, "
       "- and _ and at most 40 characters, such as `A27-003`."},
      {"batches:\n  - {batch: " + std::string(41, 'A') +
           ", protocol: p, plants: 6, ready: "
           "2027-05-10}\n",
       "batches.yaml:2:13 error bad-name This cannot be the name of a batch. It has letters, "
       "digits, "
       "- and _ and at most 40 characters, such as `A27-003`."},
      {"batches:\n  - {batch: A1, plants: 6, ready: 2027-05-10}\n",
       "batches.yaml:2:5 error missing-key `protocol` is missing from a batch. Add a line such as "
       "`protocol: bench_graft edition 2`."},
      {"batches:\n  - {batch: A1, protocol: bench graft, plants: 6, ready: 2027-05-10}\n",
       "batches.yaml:2:27 error wrong-value `protocol` wants a protocol's name and perhaps its "
       "edition, such as `bench_graft edition 2`."},
      {"batches:\n  - {batch: A1, protocol: p edition, plants: 6, ready: 2027-05-10}\n",
       "batches.yaml:2:27 error wrong-value `protocol` wants a protocol's name and perhaps its "
       "edition, such as `bench_graft edition 2`."},
      {"batches:\n  - {batch: A1, protocol: p edition 2 x, plants: 6, ready: 2027-05-10}\n",
       "batches.yaml:2:27 error wrong-value `protocol` wants a protocol's name and perhaps its "
       "edition, such as `bench_graft edition 2`."},
      {"batches:\n  - {batch: A1, protocol: p edition two, plants: 6, ready: 2027-05-10}\n",
       "batches.yaml:2:27 error wrong-value `edition` wants a whole number, such as `2`."},
      {"batches:\n  - {batch: A1, protocol: p edition 0, plants: 6, ready: 2027-05-10}\n",
       "batches.yaml:2:27 error out-of-range `edition` can be from 1 to 1000000."},
      {"batches:\n  - {batch: A1, protocol: b-g, plants: 6, ready: 2027-05-10}\n",
       "batches.yaml:2:27 error bad-name `b-g` cannot be a name. A name has letters, digits and _, "
       "begins with a letter and has at most 64 characters."},
      {head + "ready: 2027-05-10}\n",
       "batches.yaml:2:5 error missing-key `plants` is missing from a batch. Add a line such as "
       "`plants: 600`."},
      {head + "plants: 0, ready: 2027-05-10}\n",
       "batches.yaml:2:48 error out-of-range `plants` can be from 1 to 10000000."},
      {head + "plants: 10000001, ready: 2027-05-10}\n",
       "batches.yaml:2:48 error out-of-range `plants` can be from 1 to 10000000."},
      {head + "plants: 1.5, ready: 2027-05-10}\n",
       "batches.yaml:2:48 error wrong-value `plants` wants a whole number, such as `600`."},
      {head + "plants: 6 trays, ready: 2027-05-10}\n",
       "batches.yaml:2:48 error wrong-value `plants` wants a whole number, such as `600`."},
      {head + "plants: \"1,200\", ready: 2027-05-10}\n",
       "batches.yaml:2:48 error wrong-value `plants` wants a whole number, such as `600`."},
      {head + "plants: 6}\n",
       "batches.yaml:2:13 error missing-key This batch has no date. Add `ready: 2027-05-10` or "
       "`start: 2027-02-01`."},
      {head + "plants: 6, ready: }\n",
       "batches.yaml:2:51 error no-value `ready` has no value. Write one after the colon, or "
       "remove "
       "the line."},
      {head + "plants: 6, ready: 2027-06-31}\n",
       "batches.yaml:2:58 error no-such-date `2027-06-31` is no date: there is no 31 June."},
      {head + "plants: 6, ready: May}\n",
       "batches.yaml:2:58 error wrong-value `ready` wants a date, such as `2027-05-10`; `May` is "
       "none. Write the year, the month and the day with two dashes."},
      {head + "plants: 6, ready: 2027-05-10, start: 2027-02-01}\n",
       "batches.yaml:2:77 error two-dates A batch has one date: ready by a day, started on a day, "
       "or started not before one. Keep one of `ready`, `start` and `not_before`; the others "
       "follow from it. To fix the date of a stage as well, use `pins`."},
      {head + "plants: 6, not_before: 2027-05-10, start: 2027-02-01}\n",
       "batches.yaml:2:63 error two-dates A batch has one date: ready by a day, started on a day, "
       "or started not before one. Keep one of `ready`, `start` and `not_before`; the others "
       "follow from it. To fix the date of a stage as well, use `pins`."},
      {batch_with("sure: 90"),
       "batches.yaml:6:11 error out-of-range `sure` has to be more than 0 and less than 100 %. "
       "Write "
       "`90 %`."},
      {batch_with("spare: 100 %"),
       "batches.yaml:6:12 error out-of-range `spare` has to be 0 % or more and less than 100 %."},
      {batch_with("full_trays: maybe"),
       "batches.yaml:6:17 error wrong-value `full_trays` wants `yes` or `no`, such as `yes`."},
      {batch_with("sure: 100 %"),
       "batches.yaml:6:11 error out-of-range `sure` has to be more than 0 and less than 100 %."},
      {batch_with("sure: 0 %"),
       "batches.yaml:6:11 error out-of-range `sure` has to be more than 0 and less than 100 %."},
      {batch_with("sure: 2 days"),
       "batches.yaml:6:11 error wrong-value `sure` wants a share between 0 and 100 %, such as `90 "
       "%`."},
      {batch_with("sure: very"),
       "batches.yaml:6:11 error wrong-value `sure` wants a share between 0 and 100 %, such as `90 "
       "%`."},
      {batch_with("lots: row 4"),
       "batches.yaml:6:11 error wrong-value `lots` wants a line for each supply, such as "
       "`scion_stick: row 4`."},
      {batch_with("lots: {scion: [a]}"),
       "batches.yaml:6:19 error wrong-value `scion` wants a text, such as `row 4`."},
      {batch_with("set: {graft take: 80 %}"),
       "batches.yaml:6:11 error bad-name `graft take` cannot be a name. A name has letters, digits "
       "and _, begins with a letter and has at most 64 characters."},
      {batch_with("set: {graft_take: good}"),
       "batches.yaml:6:23 error wrong-value `graft_take` wants a number and perhaps a unit, such "
       "as "
       "`82 %`."},
      {batch_with("set: {dip: iba(two words)}"),
       "batches.yaml:6:16 error wrong-value `dip` wants a number and perhaps a unit, such as `82 "
       "%`."},
      {batch_with("pins: {grafting: 2027-02-01}"),
       "batches.yaml:6:12 error bad-pin A pin names a stage and which of its dates is fixed. Write "
       "`grafting.start: 2027-02-01` or `grafting.end: 2027-02-02`."},
      {batch_with("pins: {grafting.middle: 2027-02-01}"),
       "batches.yaml:6:12 error bad-pin A pin names a stage and which of its dates is fixed. Write "
       "`grafting.start: 2027-02-01` or `grafting.end: 2027-02-02`."},
      {batch_with("pins: {grafting.start: 2027-02-29}"),
       "batches.yaml:6:28 error no-such-date `2027-02-29` is no date: 2027 has no 29 February."},
      {batch_with("note: [a]"),
       "batches.yaml:6:11 error wrong-value `note` wants a text, such as `for the spring sale`."},
      {batch_with("note: \"\\e[2J\""),
       "batches.yaml:6:11 error bad-text `note` holds a character that cannot be printed. Delete "
       "it."},
      {batch_with("note: " + std::string(2001, 'x')),
       "batches.yaml:6:11 error long-text `note` is longer than 2000 characters. Shorten it."},
      {batch_with("redy: 2027-05-10"),
       "batches.yaml:6:5 error unknown-key `redy` is not a key of a batch. Did you mean `ready`?"},
      {"batches:\n  - A1\n",
       "batches.yaml:2:5 error wrong-kind Lines of the form `key: value` belong here. The keys are "
       "batch, protocol, variant, plants, ready, start, not_before, every, times, sure, lots, set, "
       "pins, "
       "recorded, note, cultivars, early, late, "
       "priority, done, trial, spare, full_trays, demand and promised."},
      {"batches: A1\n",
       "batches.yaml:1:10 error wrong-value `batches` wants a list, such as `- batch: A27-003`."},
      {"batches: []\n",
       "batches.yaml:1:10 error no-batches This book has no batches. Add one under `batches:`, "
       "beginning with `- batch: A27-003`."},
      {"batches:\n",
       "batches.yaml:1:1 error no-batches This book has no batches. Add one under `batches:`, "
       "beginning with `- batch: A27-003`."},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(mistake.batches);
    Outcome outcome;
    read(small_site, mistake.batches, outcome);
    CHECK(joined(outcome.problems) == std::string(mistake.problem) + "\n");
    REQUIRE(outcome.book.has_value());
    CHECK(outcome.book->batches.empty());
  }
}

TEST_CASE("a count behind a value has no more good ones than were seen") {
  CHECK(problems_of_batches(batch_with("set: {graft_take: 100 % seen 200 of 200}")).empty());
  const std::string problems =
      joined(problems_of_batches(batch_with("set: {graft_take: 82 % seen 210 of 200}")));
  CHECK(problems.starts_with(
      "batches.yaml:6:23 error wrong-value `graft_take` rests on a count that cannot be"));
}

TEST_CASE("how early and late batches may be stands above them, each may say otherwise") {
  Outcome outcome;
  read(small_site,
       "early: 2 days\nlate: 3 days\nbatches:\n"
       "  - {batch: A1, protocol: p, plants: 6, ready: 2027-05-10}\n"
       "  - {batch: A2, protocol: p, plants: 6, ready: 2027-05-10, early: 0 days, late: 5 days}\n",
       outcome);
  REQUIRE(joined(outcome.problems).empty());
  const std::vector<Batch>& batches = outcome.book->batches;
  CHECK(batches[0].early->value == 2);
  CHECK(batches[0].late->value == 3);
  CHECK(batches[1].early->value == 0);
  CHECK(batches[1].late->value == 5);
}

TEST_CASE("a batch is under way once anything of it is recorded or done") {
  const auto is_under_way = [](const std::string& line) {
    Outcome outcome;
    read(small_site, batch_with(line), outcome);
    REQUIRE(outcome.book->batches.size() == 1);
    return under_way(outcome.book->batches.front());
  };
  CHECK_FALSE(is_under_way("pins: {budding.start: 2027-04-02}"));
  CHECK(is_under_way("recorded: {budding.start: 2027-04-02}"));
  CHECK(is_under_way("recorded: {budding.left: 5}"));
  CHECK(is_under_way("done: {budding/1/1: 2027-04-02}"));
}

TEST_CASE("the extra line of the mistakes above is what is wrong with them") {
  CHECK(problems_of_batches(batch_with("note: fine")).empty());
  CHECK(problems_of_batches(batch_with("sure: 0.9")).empty());
  CHECK(problems_of_batches(batch_with("lots:")).empty());
}

TEST_CASE("two batches cannot share a name, even when one has another mistake") {
  const Folder folder;
  folder.write("site.yaml", small_site);
  folder.write("batches.yaml", R"(batches:
  - {batch: A1, protocol: p, plants: none, ready: 2027-05-10}
  - {batch: B1, protocol: p, plants: 6, ready: 2027-05-10}
  - {batch: A1, protocol: p, plants: 6, ready: 2027-05-10}
)");
  budwood::text::Sources sources;
  budwood::text::Diagnostics diagnostics;
  const auto book = read_book(folder.path(), sources, diagnostics);
  const auto all = diagnostics.sorted();
  REQUIRE(all.size() == 2);
  CHECK(all[1].code == "duplicate-batch");
  CHECK(one_line(all[1]).starts_with("batches.yaml:4:13 "));
  REQUIRE(all[1].related.size() == 1);
  CHECK(budwood::text::describe(all[1].related[0].span).ends_with("batches.yaml:2:13"));
  REQUIRE(book->batches.size() == 1);
  CHECK(book->batches[0].id.value == "B1");
}

TEST_CASE("mistakes in one batch do not hide those in the next") {
  CHECK(
      problems_of_batches("batches:\n  - {batch: A1}\n  - {batch: A2}\n  - {batch: A3}\n").size() ==
      9);
}

TEST_CASE("how sure the number has to be: the batch says, else its file, else the site") {
  const auto sure_of = [](const std::string& site, const std::string& file,
                          const std::string& batch) {
    Outcome outcome;
    read(std::string(small_site) + site,
         file + "batches:\n  - {batch: A1, protocol: p, plants: 6, ready: 2027-05-10" + batch +
             "}\n",
         outcome);
    REQUIRE(joined(outcome.problems).empty());
    const auto& sure = outcome.book->batches.front().sure;
    return sure ? sure->value : 0.0;
  };
  CHECK(sure_of("", "", "") == 0);
  CHECK(sure_of("sure: 80 %\n", "", "") == doctest::Approx(0.8));
  CHECK(sure_of("sure: 80 %\n", "sure: 90 %\n", "") == doctest::Approx(0.9));
  CHECK(sure_of("sure: 80 %\n", "sure: 90 %\n", ", sure: 95 %") == doctest::Approx(0.95));
  CHECK(joined(problems_of_site("site: N\nsure: 120 %\n")).starts_with("site.yaml:2:7 error "));
}

TEST_CASE("a number of plants that can be read in two ways is refused") {
  for (const char* plants : {"1.000", "600.0", "1.000 plants"}) {
    CAPTURE(plants);
    const auto found = problems_of_batches(
        std::string("batches:\n  - {batch: A1, protocol: p, ready: 2027-05-10, plants: ") + plants +
        "}\n");
    REQUIRE(found.size() == 1);
    CHECK(found.front().find("can be read in two ways") != std::string::npos);
  }
}
