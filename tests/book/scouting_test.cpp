#include <doctest/doctest.h>

#include "book/batches/batch.hpp"
#include "book/site/site.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;

namespace {

const std::string rounds =
    "rooms:\n"
    "  fog tent 2:\n"
    "    scout: {for: [thrips, fungus_gnats], act_at: 10, every: 14 days, cards: 8,\n"
    "            from: 2027-03-01, until: 2027-05-31, crew: bench team, time: 3 min}\n";

}  // namespace

TEST_CASE("a room may have rounds with sticky cards") {
  const Site site = site_of(rounds);
  const Scouting& scout = *site.rooms.at("fog tent 2").scout;
  CHECK(scout.pests == std::vector<std::string>{"thrips", "fungus_gnats"});
  CHECK(scout.act_at == 10);
  CHECK(scout.every == 14);
  CHECK(scout.cards == 8);
  CHECK(budwood::calendar::iso_date(scout.from) == "2027-03-01");
  CHECK(budwood::calendar::iso_date(scout.until) == "2027-05-31");
  CHECK(scout.crew == "bench team");
  CHECK(scout.time == 180);
  const Site usual =
      site_of("rooms: {a: {scout: {for: [mites], cards: 1, from: 2027-03-01, until: 2027-03-01}}}");
  CHECK(usual.rooms.at("a").scout->every == 7);
  CHECK(usual.rooms.at("a").scout->act_at == 0);
  CHECK(usual.rooms.at("a").scout->time == 300);
}

TEST_CASE("rounds become a batch of the book, with a method that is nobody's to keep") {
  Outcome found;
  read("site: N\n" + rounds, small_batches, found);
  REQUIRE(found.book);
  CHECK(found.problems == std::vector<std::string>{});
  const Batch& batch = found.book->batches.back();
  CHECK(batch.id.value == "scout-fog-tent-2");
  CHECK(batch.plants.value == 8);
  CHECK(budwood::calendar::iso_date(batch.start->value) == "2027-03-01");
  REQUIRE_FALSE(found.book->protocols.empty());
  const auto& method = found.book->protocols.back();
  CHECK(method.of_site);
  CHECK(method.stages.size() == 1);
  for (const auto& stage : method.stages) {
    CHECK(stage.room == "fog tent 2");
    for (const auto& work : stage.works) CHECK(work.crew == "bench team");
  }
}

TEST_CASE("what levelling chose for rounds is read like that of other batches") {
  const Folder folder;
  folder.write("site.yaml", "site: N\n" + rounds);
  folder.write("batches.yaml", small_batches);
  folder.write("levelled.yaml",
               "levelled:\n"
               "  - batch: scout-fog-tent-2\n"
               "    ready: 2027-06-01\n"
               "    orders: {rounds/1/1: 2027-03-02}\n");
  budwood::text::Sources sources;
  budwood::text::Diagnostics diagnostics;
  const auto book = read_book(folder.path(), sources, diagnostics);
  for (const auto& d : diagnostics.sorted()) CHECK(one_line(d) == "");
  REQUIRE(book);
  REQUIRE(book->batches.back().levelled);
  CHECK(book->batches.back().levelled->orders.size() == 1);
}

TEST_CASE("every mistake in rounds is named at its place") {
  const std::string whole = "cards: 8, from: 2027-03-01, until: 2027-05-31";
  const std::vector<std::pair<std::string, std::string>> wrong = {
      {"{for: [], " + whole + "}", "error wrong-value `for` wants a list of names"},
      {"{for: [thrips, thrips], " + whole + "}", "error repeated-value `thrips` stands here twice"},
      {"{for: [two words], " + whole + "}", "error"},
      {"{for: [mist], " + whole + "}", "error wrong-value `for` names what is counted by words"},
      {"{" + whole + "}", "error missing-key"},
      {"{for: [thrips], from: 2027-03-01, until: 2027-05-31}", "error missing-key"},
      {"{for: [thrips], cards: 0, from: 2027-03-01, until: 2027-05-31}", "error out-of-range"},
      {"{for: [thrips], cards: 8, from: 2027-03-01, until: 2027-02-28}",
       "error out-of-range `until` is the last day of the rounds"},
      {"{for: [thrips], cards: 8, from: 2027-03-01, until: 2031-02-28}",
       "error out-of-range `until` is the last day of the rounds"},
      {"{for: [thrips], every: 36 h, " + whole + "}", "error wrong-value `every` wants whole days"},
      {"{for: [thrips], every: 61 days, " + whole + "}", "error out-of-range"},
      {"{for: [thrips], act_at: 0, " + whole + "}", "error out-of-range"},
      {"{for: [a, b, c], act_at: 9, every: 1 day, cards: 8, from: 2027-01-01, until: 2029-09-01}",
       "error out-of-range 3 kinds in 974 rounds are more than orders can tell `act_at` of: 2000"},
      {"{for: [thrips], time: 0 min, " + whole + "}", "error wrong-value `time` wants"},
      {"{for: [thrips], limit: 3, " + whole + "}", "error unknown-key"},
  };
  for (const auto& [scout, message] : wrong) {
    CAPTURE(scout);
    Outcome found;
    read("site: N\nrooms: {a: {scout: " + scout + "}}\n", small_batches, found);
    REQUIRE_FALSE(found.problems.empty());
    CAPTURE(found.problems.front());
    CHECK(found.problems.front().find(message) != std::string::npos);
  }
}

TEST_CASE("a batch of the book cannot be called like the rounds of a room") {
  Outcome found;
  read(
      "site: N\nrooms: {a: {scout: {for: [thrips], cards: 8, from: 2027-03-01, until: "
      "2027-05-31}}}\n",
      "batches: [{batch: scout-a, protocol: p, plants: 6, ready: 2027-05-10}]\n", found);
  REQUIRE(found.problems.size() == 1);
  CHECK(found.problems.front().find(
            "error duplicate-batch The rounds of `a` are called `scout-a` already.") !=
        std::string::npos);
}
