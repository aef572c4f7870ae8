#include "page/views/desk.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <optional>

#include "../files/folder.hpp"
#include "page/open/open_book.hpp"
#include "page/views/views.hpp"

/// Where methods are typed: what is told of a text, and what is offered.
namespace budwood::page {

namespace {

const char* const division =
    "protocol division \"Division\" {\n"
    "  edition 1\n"
    "  supply clump in clumps\n"
    "  part crown\n"
    "\n"
    "  stage cutting of crown {\n"
    "    lasts 1 day\n"
    "    room bench\n"
    "    do \"Cut\" on day 1 { rate 40 per hour  use 1 clump per 6 }\n"
    "  }\n"
    "}\n";

struct Typing {
  Typing() {
    folder.write("site.yaml", "site: North house\nrooms: {bench: {}, attic: {}}\n");
    folder.write("batches.yaml", "batches: []\n");
    folder.write("division.bud", division);
    book.emplace(folder.path(), std::nullopt);
    now = book->now();
    desk.emplace(folder.path());
  }
  Json check(const std::string& text) { return desk->check(*now, "division.bud", text); }

  Folder folder;
  std::optional<OpenBook> book;
  std::shared_ptr<Snapshot> now;
  std::optional<Desk> desk;
};

std::string with(const std::string& from, const std::string& to) {
  std::string out = division;
  return out.replace(out.find(from), from.size(), to);
}

}  // namespace

TEST_CASE("mistakes have their place and what mends them") {
  Typing typing;
  CHECK(typing.check(division)["fine"] == true);
  const Json wrong = typing.check(with("lasts", "lasst"));
  CHECK(wrong["fine"] == false);
  const Json& first = wrong["said"][0];
  CHECK(first["place"]["line"] == 7);
  CHECK(first["place"]["column"] == 5);
  REQUIRE_FALSE(first["mends"].empty());
  const Json& edit = first["mends"][0]["edits"][0];
  CHECK(edit["text"] == "lasts");
  CHECK(edit["place"]["end_column"] == 10);
  // What lies on the disk does not count while it is typed, nor what was typed before.
  CHECK(typing.check(division)["said"].empty());
  CHECK(typing.desk->check(*typing.now, "../site.yaml", division).is_null());
}

TEST_CASE("what is typed elsewhere and not saved does not count") {
  Typing typing;
  typing.folder.write("ours.bud",
                      "protocol ours based on division edition 1 \"Ours\" {\n"
                      "  change stage cutting { lasts 2 days }\n}\n");
  const Snapshot now(typing.folder.path(), std::nullopt);
  const std::string ours =
      "protocol ours based on division edition 1 \"Ours\" {\n  change stage cutting { lasts 3 days "
      "}\n}\n";
  CHECK(typing.desk->check(now, "ours.bud", ours)["fine"] == true);
  // Somebody renames the stage in another window.
  typing.desk->check(now, "division.bud", with("stage cutting", "stage parting"));
  CHECK(typing.desk->check(now, "ours.bud", ours)["fine"] == true);
}

TEST_CASE("places count characters beyond the first plane twice, as browsers do") {
  Typing typing;
  const Json wrong = typing.check(with("do \"Cut\" on day 1", "do \"\xF0\x9F\x8C\xB1\" on dya 1"));
  CHECK(wrong["said"][0]["place"]["line"] == 9);
  CHECK(wrong["said"][0]["place"]["column"] == 16);
}

TEST_CASE("what may stand at a place") {
  Typing typing;
  const auto labels = [&](const std::string& text, editor::Position place) {
    std::vector<std::string> out;
    const Json answer = typing.desk->complete(*typing.now, "division.bud", text, place);
    for (const Json& one : answer["choices"]) out.push_back(one["label"]);
    return out;
  };
  const auto has = [](const std::vector<std::string>& all, const char* word) {
    return std::find(all.begin(), all.end(), word) != all.end();
  };
  const auto rooms = labels(division, {7, 9});
  CHECK(has(rooms, "attic"));
  const auto statements = labels(with("room bench", ""), {7, 4});
  CHECK(has(statements, "keep"));
  CHECK_FALSE(has(statements, "edition"));
}

TEST_CASE("what a name means") {
  Typing typing;
  const Json answer = typing.desk->point(*typing.now, "division.bud", division, {2, 11});
  CHECK(answer["text"].get<std::string>().find("supply clump in clumps") != std::string::npos);
  CHECK(typing.desk->point(*typing.now, "division.bud", division, {4, 0})["text"] == "");
}

TEST_CASE("what a text would do to the batches") {
  Typing typing;
  typing.folder.write(
      "batches.yaml",
      "batches:\n  - {batch: D1, protocol: division, plants: 60, ready: 2027-05-10}\n");
  const Snapshot now(typing.folder.path(), std::nullopt);
  const Json answer = effect_view(now, "division.bud", with("lasts 1 day", "lasts 9 days"));
  CHECK(answer["text"].get<std::string>().find("D1") != std::string::npos);
  // Where the edition is another one the batches are still looked at.
  std::string next = with("lasts 1 day", "lasts 9 days");
  next.replace(next.find("edition 1"), 9, "edition 2");
  const Json of_next = effect_view(now, "division.bud", next);
  CHECK(of_next["text"].get<std::string>().find("D1") != std::string::npos);
  CHECK(effect_view(now, "division.bud", std::string(division) + "# same\n")["text"] == "");
  CHECK_FALSE(effect_view(now, "division.bud", with("lasts", "lasst"))["said"].empty());
  CHECK(effect_view(now, "x.bud", division).is_null());
}

TEST_CASE("a text is laid out, or it is said why not") {
  const Typing typing;
  CHECK(typing.desk->tidy("division.bud", with("    lasts", "lasts"))["text"] == division);
  CHECK_FALSE(typing.desk->tidy("division.bud", "protocol {")["said"].empty());
}

TEST_CASE("topics of the references") {
  const auto asked = [](const char* topic) {
    return Question(std::map<std::string, std::string>{{"topic", topic}});
  };
  const Json known = topic_view(asked("unit-mismatch"));
  CHECK(known["text"].get<std::string>().starts_with("unit-mismatch"));
  CHECK(topic_view(asked("no such thing"))["text"] == "");
  CHECK(topic_view(asked("unit-mismach"))["near"] == "unit-mismatch");
}

}  // namespace budwood::page
