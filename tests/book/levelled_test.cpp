#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book_folder.hpp"

namespace budwood::book::test {

namespace {

const std::string batches =
    "early: 4 days\nbatches:\n"
    "  - {batch: A1, protocol: bench_graft, plants: 6, ready: 2027-05-10, late: 2 days,\n"
    "     priority: 3, done: {grafting/1/1: 2027-02-03}}\n"
    "  - {batch: A2, protocol: bench_graft, plants: 6, ready: 2027-05-10, early: 0 days}\n";

std::string problems_with(const std::string& line) {
  Outcome outcome;
  read(small_site,
       "batches:\n  - {batch: A1, protocol: bench_graft, plants: 6, ready: 2027-05-10, " + line +
           "}\n",
       outcome);
  return joined(outcome.problems);
}

}  // namespace

TEST_CASE("a batch says how far it may move, what it is worth, and what is done") {
  Outcome outcome;
  read(small_site, batches, outcome);
  REQUIRE(outcome.problems.size() == 1);
  CHECK(outcome.problems.front().find("note kept-in-batches") != std::string::npos);
  const Batch& first = outcome.book->batches[0];
  CHECK(first.early->value == 4);
  CHECK(first.late->value == 2);
  CHECK(first.priority->value == 3);
  REQUIRE(first.done.size() == 1);
  CHECK(first.done[0].order == "grafting/1/1");
  CHECK(calendar::iso_date(first.done[0].day) == "2027-02-03");
  CHECK(outcome.book->batches[1].early->value == 0);
  CHECK_FALSE(outcome.book->batches[1].late);
}

TEST_CASE("mistakes in what levelling may do are told at their place") {
  CHECK(problems_with("early: 1.5 days").find("`early` wants whole days") != std::string::npos);
  CHECK(problems_with("late: 3 kg").find("`late` wants") != std::string::npos);
  CHECK(problems_with("late: 400 days") != "");
  CHECK(problems_with("priority: 0") != "");
  CHECK(problems_with("done: {grafting: 2027-02-03}").find("bad-order") != std::string::npos);
  CHECK(problems_with("done: {grafting/1/1: soon}") != "");
  CHECK(problems_with("done: [grafting/1/1]") != "");
}

TEST_CASE("what levelling chose is written down and read again as it was") {
  Folder folder;
  folder.write("site.yaml", small_site);
  folder.write("batches.yaml", batches);
  text::Sources sources;
  text::Diagnostics diagnostics;
  auto book = read_book(folder.path(), sources, diagnostics);
  REQUIRE(book);
  Levelled levelled;
  levelled.ready = *calendar::parse_iso_date("2027-05-07");
  levelled.dates = {{"grafting", Pin::Side::start, *calendar::parse_iso_date("2027-02-01"), {}}};
  levelled.orders = {{"grafting/1/1", *calendar::parse_iso_date("2027-02-02"), {}}};
  book->batches[1].levelled = levelled;
  folder.write(levelled_file, levelled_yaml(book->batches));
  const auto again = read_book(folder.path(), sources, diagnostics);
  REQUIRE(again);
  CHECK_FALSE(again->batches[0].levelled);
  REQUIRE(again->batches[1].levelled);
  CHECK(again->batches[1].levelled->ready == levelled.ready);
  REQUIRE(again->batches[1].levelled->dates.size() == 1);
  CHECK(again->batches[1].levelled->dates[0].day == levelled.dates[0].day);
  CHECK(again->batches[1].levelled->orders[0].order == "grafting/1/1");
  CHECK(levelled_yaml(again->batches) == levelled_yaml(book->batches));
}

TEST_CASE("levelled dates of a batch that is gone are passed over with a warning") {
  Folder folder;
  folder.write("site.yaml", small_site);
  folder.write("batches.yaml", batches);
  folder.write(levelled_file, "levelled:\n  - {batch: X9, ready: 2027-05-07}\n");
  text::Sources sources;
  text::Diagnostics diagnostics;
  REQUIRE(read_book(folder.path(), sources, diagnostics));
  CHECK(diagnostics.count(text::Severity::warning) >= 1);
  folder.write(levelled_file, levelled_yaml({}));
  text::Diagnostics none;
  REQUIRE(read_book(folder.path(), sources, none));
  CHECK(none.count(text::Severity::error) == 0);
}

}  // namespace budwood::book::test
