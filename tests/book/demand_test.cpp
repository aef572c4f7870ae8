#include <doctest/doctest.h>

#include "book/batches/batch.hpp"
#include "book_folder.hpp"

/// What is wanted of a batch, and promised: `grammar/demand.md`.
using namespace budwood::book;
using namespace budwood::book::test;

namespace {

std::string a_batch(const std::string& more) {
  return "batches:\n  - {batch: A1, protocol: p, " + more + "}\n";
}

Batch batch_of(const std::string& more) {
  Outcome outcome;
  read("site: N\ncurrency: EUR\n", a_batch(more), outcome);
  REQUIRE_MESSAGE(joined(outcome.problems).empty(), joined(outcome.problems));
  REQUIRE(outcome.book->batches.size() == 1);
  return outcome.book->batches.front();
}

std::string told(const std::string& more) {
  return joined(problems_of_batches(a_batch(more)));
}

const std::string wanted =
    "demand: {least: 400, usual: 500, most: 600, too_many: 0.80, too_few: 3.20}";

}  // namespace

TEST_CASE("without plants as many are aimed at as are usually wanted, or promised") {
  CHECK(batch_of("ready: 2027-05-10, " + wanted).plants.value == 500);
  CHECK(batch_of("plants: 450, ready: 2027-05-10, " + wanted).plants.value == 450);
  const Batch promised = batch_of(
      "promised: [{plants: 150, on: 2027-05-17}, {plants: 200, on: 2027-05-03, for: Garden fair}]");
  CHECK(promised.plants.value == 350);
  REQUIRE(promised.promised.size() == 2);
  CHECK(promised.promised[0].whose == "Garden fair");
  REQUIRE(promised.ready.has_value());
  CHECK(budwood::calendar::iso_date(promised.ready->value) == "2027-05-17");
}

TEST_CASE("what is wanted for several days is a batch for each, and nothing of it is lost") {
  const Folder folder;
  folder.write("site.yaml", "site: N\n");
  folder.write("batches.yaml", "batches: []\n");
  const auto wanted_of = [&](const std::string& more) {
    folder.write("wanted.yaml", "batches:\n" + more);
    budwood::text::Sources sources;
    budwood::text::Diagnostics diagnostics;
    const auto book = read_book(folder.path(), sources, diagnostics);
    REQUIRE(book);
    std::string out;
    for (const Batch& one :
         read_demand(folder.path() / "wanted.yaml", *book, sources, diagnostics)) {
      out += one.id.value + " " + std::to_string(one.plants.value) + " " +
             budwood::calendar::iso_date(one.ready->value) + "\n";
    }
    return out;
  };
  const std::string days =
      "promised: [{plants: 120, on: 2027-05-03}, {plants: 80, on: 2027-05-17}]";
  CHECK(wanted_of("  - {batch: H, protocol: p, " + days + "}\n") ==
        "H-1 120 2027-05-03\nH-2 80 2027-05-17\n");
  CHECK(wanted_of("  - {batch: H, protocol: p, plants: 600, " + days + "}\n") ==
        "H-1 120 2027-05-03\nH-2 480 2027-05-17\n");
  CHECK(wanted_of("  - {batch: H, protocol: p, " + days +
                  "}\n  - {batch: H-1, protocol: p, plants: 9, ready: 2027-05-10}\n") ==
        "H-2 120 2027-05-03\nH-3 80 2027-05-17\nH-1 9 2027-05-10\n");
  CHECK(wanted_of("  - {batch: H, protocol: p, " + wanted + ", " + days + "}\n") ==
        "H 200 2027-05-17\n");
}

TEST_CASE("a demand that cannot be is told") {
  const auto has = [](const std::string& problems, const std::string& what) {
    CHECK_MESSAGE(problems.find(what) != std::string::npos, problems);
  };
  has(told("ready: 2027-05-10, demand: {least: 600, usual: 500, most: 400, too_many: 1, too_few: "
           "2}"),
      "error demand-order `least`, `usual` and `most` do not ascend: 600, 500, 400.");
  has(told("ready: 2027-05-10, demand: {least: 4, usual: 5, most: 6, too_many: 0, too_few: 0}"),
      "error out-of-range `too_many` and `too_few` cannot both be 0");
  has(told("ready: 2027-05-10, demand: {least: 0, usual: 0, most: 0, too_many: 1, too_few: 2}"),
      "error out-of-range `most` has to be more than 0.");
  has(told("ready: 2027-05-10, demand: {least: 4, usual: 5, most: 6, too_many: 1}"),
      "error missing-key");
  has(told("ready: 2027-05-10, demand: {least: 4, usual: 5, most: 6, too_many: 1 L, too_few: 2}"),
      "error wrong-value `too_many` wants the money that is lost on one plant, such as `0.80`.");
  has(told("ready: 2027-05-10, demand: 500"), "error ");
  has(told("ready: 2027-05-10, demand: {usually: 500}"), "error unknown-key");
  has(told("ready: 2027-05-10, every: 7 days, times: 3, " + wanted),
      "error wanted-of-several `demand` is of one batch, and `every` makes several of this one.");
  has(told("ready: 2027-05-10, cultivars: {Bonita: 200, Rex: 100}, " + wanted),
      "error wanted-of-several");
}

TEST_CASE("promises that cannot be are told") {
  const auto has = [](const std::string& problems, const std::string& what) {
    CHECK_MESSAGE(problems.find(what) != std::string::npos, problems);
  };
  has(told("promised: 200"), "error wrong-value `promised` wants 1 to 200 entries");
  has(told("promised: []"), "error wrong-value `promised` wants 1 to 200 entries");
  has(told("promised: [{plants: 200}]"), "error missing-key");
  has(told("promised: [{plants: 0, on: 2027-05-10}]"), "error out-of-range");
  has(told("promised: [{plants: 20, on: Monday}]"), "error ");
}
