#include "page/open/open_book.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <thread>

#include "../files/folder.hpp"
#include "page/open/adding.hpp"
#include "page/open/keeping.hpp"
#include "page/open/noting.hpp"
#include "page/views/views.hpp"

/// A book that stays open: what is changed on the page and beside it.
namespace budwood::page {

namespace {

const char* const method =
    "protocol division \"Division\" {\n"
    "  edition 1\n"
    "  input losses = 10 % from 0 % to 50 %\n"
    "  supply clump in clumps\n"
    "  part crown\n"
    "  stage cutting of crown {\n"
    "    lasts 1 day\n"
    "    room bench\n"
    "    do \"Cut\" on day 1 { rate 40 per hour  use 1 clump per 6 }\n"
    "  }\n"
    "  stage growing of crown {\n"
    "    lasts 5 weeks to 7 weeks usually 6 weeks\n"
    "    room tunnel\n"
    "    loses losses\n"
    "  }\n"
    "}\n";
const char* const batches =
    "batches:\n"
    "  - batch: D1   # first\n"
    "    protocol: division\n"
    "    plants: 100\n"
    "    ready: 2027-05-10\n"
    "  - batch: D2\n"
    "    protocol: division\n"
    "    plants: 50\n"
    "    not_before: 2027-03-01\n";

struct SmallBook {
  SmallBook() {
    folder.write("site.yaml", "site: North house\n");
    folder.write("batches.yaml", batches);
    folder.write("division.bud", method);
  }
  std::string text() const { return folder.content()["batches.yaml"]; }
  Folder folder;
};

/// Waits until the book is planned anew.
bool follows(const OpenBook& book, std::uint64_t turn) {
  for (int i = 0; i < 500; ++i) {
    if (book.now()->turn > turn) return true;
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
  return false;
}

Question asked(std::map<std::string, std::string> words) {
  return Question(std::move(words));
}

}  // namespace

TEST_CASE("a change is kept in the file, seen at once in the sheet, and can be taken back") {
  const SmallBook small;
  OpenBook book(small.folder.path(), std::nullopt);
  text::Sources sources;
  const Kept kept = keep(book, {{"D1.plants=120", "batch.plants", "100"}}, sources);
  REQUIRE(kept.done);
  CHECK(small.text().find("plants: 120\n") != std::string::npos);
  CHECK(small.text().find("# first") != std::string::npos);
  const auto now = book.now();
  CHECK(shown_now(*now, *now->batch("D1"), "cutting.plants") == "134");  // 120 / 0.9
  REQUIRE(kept.undo.size() == 1);
  REQUIRE(keep(book, {{kept.undo[0], "", ""}}, sources).done);
  CHECK(small.text() == batches);
}

TEST_CASE("a change of what somebody else has changed meanwhile is refused with both values") {
  const SmallBook small;
  OpenBook book(small.folder.path(), std::nullopt);
  text::Sources sources;
  REQUIRE(keep(book, {{"D1.plants=120", "batch.plants", "100"}}, sources).done);
  const Kept second = keep(book, {{"D1.plants=130", "batch.plants", "100"}}, sources);
  CHECK_FALSE(second.done);
  REQUIRE(second.clashes.size() == 1);
  CHECK(second.clashes[0].was == "100");
  CHECK(second.clashes[0].is == "120");
  CHECK(small.text().find("plants: 120\n") != std::string::npos);
}

TEST_CASE("what is kept while the files are read anew is not taken for somebody else's") {
  const SmallBook small;
  OpenBook book(small.folder.path(), std::nullopt);
  text::Sources sources;
  // Each change has the files read in the background, while the next ones are written.
  std::string was = "100";
  for (int plants = 101; plants <= 400; ++plants) {
    const std::string wanted = std::to_string(plants);
    const Kept kept = keep(book, {{"D1.plants=" + wanted, "batch.plants", was}}, sources);
    CAPTURE(plants);
    REQUIRE(kept.clashes.empty());
    REQUIRE(kept.done);
    was = wanted;
  }
  CHECK(small.text().find("plants: 400\n") != std::string::npos);
}

TEST_CASE("a change that cannot be is told, and nothing is written") {
  const SmallBook small;
  OpenBook book(small.folder.path(), std::nullopt);
  text::Sources sources;
  for (const char* wrong : {"D1.plants=none", "D1.losses=90 %", "D9.plants=5", "D1.cutting.left=80",
                            "site.closed=2027-03-01", "nonsense"}) {
    const Kept kept = keep(book, {{wrong, "", ""}}, sources);
    CHECK_FALSE(kept.done);
    CHECK(kept.said.has_errors());
  }
  CHECK(small.text() == batches);
}

TEST_CASE(
    "the book is read anew when somebody changes it, and stays as it was while it cannot be") {
  const SmallBook small;
  OpenBook book(small.folder.path(), std::nullopt);
  std::uint64_t turn = book.now()->turn;
  small.folder.write("batches.yaml", std::string(batches) +
                                         "  - {batch: D3, protocol: division, plants: 9, ready: "
                                         "2027-06-01}\n");
  REQUIRE(follows(book, turn));
  CHECK(book.now()->batch("D3") != nullptr);
  small.folder.write("batches.yaml", "batches: [\n");
  for (int i = 0; i < 500 && book.trouble().empty(); ++i) {
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
  CHECK_FALSE(book.trouble().empty());
  CHECK(book.now()->batch("D3") != nullptr);
  turn = book.now()->turn;
  small.folder.write("batches.yaml", batches);
  REQUIRE(follows(book, turn));
  CHECK(book.trouble().empty());
  CHECK(book.now()->batch("D3") == nullptr);
}

TEST_CASE("an entry that is sent twice is noted once, and one with a mistake keeps no other back") {
  const SmallBook small;
  OpenBook book(small.folder.path(), std::nullopt);
  text::Sources sources;
  const std::uint64_t turn = book.now()->turn;
  const std::vector<SentEntry> sent = {
      {"aaaaaaaaaaaaaaa1", "D1/cutting/1/1 done on 2027-03-26 by Ana"},
      {"aaaaaaaaaaaaaaa2", "D1/cuting counted 5"},
      {"aaaaaaaaaaaaaaa3", "D1/growing counted 88 on 2027-04-26"},
      {"short", "D1 note \"x\""},
      {"aaaaaaaaaaaaaaa4", "D1 note \"a\"\nD1 note \"b\""}};
  const auto first = note(book, sent, {"Bo"}, sources);
  const auto again = note(book, sent, {"Bo"}, sources);
  using State = TakenEntry::State;
  REQUIRE(first.size() == 5);
  CHECK(first[0].state == State::noted);
  CHECK(first[1].state == State::refused);
  CHECK(first[2].state == State::noted);
  CHECK(first[2].line.find("by Bo") != std::string::npos);
  CHECK(first[3].state == State::refused);
  CHECK(first[4].state == State::refused);
  CHECK(again[0].state == State::known);
  CHECK(again[2].state == State::known);
  // It may be read once before all of them are there.
  for (std::uint64_t seen = turn; book.now()->book->history.size() < 2;) {
    REQUIRE(follows(book, seen));
    seen = book.now()->turn;
  }
  CHECK(book.now()->book->history.size() == 2);
}

TEST_CASE("what is tried changes nothing") {
  const SmallBook small;
  OpenBook book(small.folder.path(), std::nullopt);
  text::Sources sources;
  text::Diagnostics said;
  const auto now = book.now();
  const Json tried = tried_view(*now, {"D1.ready=2027-05-17"}, true, sources, said);
  REQUIRE(tried.is_object());
  REQUIRE(tried["bars"].size() == 1);
  CHECK(tried["bars"][0]["id"] == "D1");
  CHECK_FALSE(tried["differences"].empty());
  CHECK_FALSE(tried["cells"]["values"].empty());
  CHECK(shown_now(*now, *now->batch("D1"), "batch.ready") == "Mon 2027-05-10");
  CHECK(small.text() == batches);
}

TEST_CASE("a batch that is planned on the page stands in the book") {
  const SmallBook small;
  OpenBook book(small.folder.path(), std::nullopt);
  text::Sources sources;
  const std::uint64_t turn = book.now()->turn;
  text::Diagnostics said;
  add_batch(book, {"D4", "division", "60", "ready", "2027-07-01"}, sources, said);
  CHECK_FALSE(said.has_errors());
  REQUIRE(follows(book, turn));
  REQUIRE(book.now()->batch("D4") != nullptr);
  for (const NewBatch& wrong : {NewBatch{"D4", "division", "60", "ready", "2027-07-01"},
                                NewBatch{"D 5", "division", "60", "ready", "2027-07-01"},
                                NewBatch{"D5", "nothing", "60", "ready", "2027-07-01"},
                                NewBatch{"D5", "division", "0", "ready", "2027-07-01"},
                                NewBatch{"D5", "division", "60", "ready", "soon"}}) {
    text::Diagnostics found;
    add_batch(book, wrong, sources, found);
    CHECK(found.has_errors());
  }
}

TEST_CASE("a method is saved when it is still what its author saw") {
  const SmallBook small;
  OpenBook book(small.folder.path(), std::nullopt);
  const auto now = book.now();
  const Json shown = method_view(*now, asked({{"file", "division.bud"}}));
  REQUIRE(shown.is_object());
  const std::string digest = shown["digest"];
  text::Diagnostics said;
  std::string other;
  const std::string changed = std::string(method) + "# more\n";
  save_method(book, "division.bud", changed, digest, said, other);
  CHECK_FALSE(said.has_errors());
  CHECK(other.empty());
  CHECK(small.folder.content()["division.bud"] == changed);
  save_method(book, "division.bud", "# mine\n", digest, said, other);
  CHECK(other == changed);
  CHECK(small.folder.content()["division.bud"] == changed);
  for (const char* wrong : {"../site.yaml", "site.yaml", "", "/etc/passwd"}) {
    text::Diagnostics found;
    save_method(book, wrong, "x", digest, found, other);
    CHECK(found.has_errors());
  }
}

}  // namespace budwood::page
