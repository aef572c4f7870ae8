// Findings of open texts, names across files, and that edits lead to the same as opening afresh.

#include <random>

#include "../words.hpp"
#include "editor/names.hpp"
#include "editor/outline.hpp"
#include "folder.hpp"

using namespace budwood;
using budwood::tests::has;
using namespace budwood::editor;

namespace {

const char* const base = R"(protocol graft "Graft" {
  edition 1
  supply tape "Tape" in m
  part p "P"
  stage joining of p {
    lasts 2 days
    room bench
    do "Tie" on day 1 { time 5 min  use 2 m tape }
  }
}
)";
const char* const north = R"(protocol north based on graft edition 1 "North" {
  change stage joining {
    lasts 3 days
    do "Tie again" on day 2 { time 5 min  use 1 m tape }
  }
}
)";
const char* const site = R"(site: Hill
rooms: {bench: {}}
supplies:
  tape: {on_hand: 3 m}
)";
const char* const batches = R"(batches:
  - {batch: A1, protocol: graft, plants: 20, ready: 2027-06-11, lots: {tape: "shelf 2"}}
)";

std::vector<std::string> codes(const Workspace& workspace, const std::filesystem::path& path) {
  std::vector<std::string> out;
  for (const Finding& one : workspace.findings(path)) out.push_back(one.code);
  return out;
}

std::string told(const Finding& one) {
  return one.code + std::to_string(one.range.begin.line) + ":" +
         std::to_string(one.range.begin.character) + one.message + one.advice;
}

}  // namespace

TEST_CASE("findings follow what is typed, with what lies beside") {
  const Folder folder;
  folder.write("graft.bud", base);
  const auto path = folder.write("north.bud", north);
  Workspace workspace;
  workspace.open(path, north, 1);
  CHECK(codes(workspace, path).empty());
  // `lasts` of line 3 is misspelt.
  CHECK(workspace.change(path, {{Range{{2, 4}, {2, 9}}, "lasst"}}, 2));
  CHECK(has(codes(workspace, path), "unknown-statement"));
  CHECK(workspace.change(path, {{Range{{2, 4}, {2, 9}}, "lasts"}}, 3));
  CHECK(codes(workspace, path).empty());
  // The base changes while it is open, unsaved.
  const auto other = folder.path() / "graft.bud";
  workspace.open(other, base, 1);
  CHECK(workspace.change(other, {{Range{{4, 8}, {4, 15}}, "tying"}}, 2));
  CHECK_FALSE(codes(workspace, path).empty());
  workspace.close(other);
  CHECK(codes(workspace, path).empty());
}

TEST_CASE("edits out of order are not taken") {
  const Folder folder;
  const auto path = folder.path() / "a.bud";
  Workspace workspace;
  CHECK_FALSE(workspace.change(path, {{std::nullopt, "x"}}, 1));
  workspace.open(path, "one", 5);
  CHECK_FALSE(workspace.change(path, {{std::nullopt, "two"}}, 4));
  CHECK(workspace.document(path)->text() == "one");
  CHECK(workspace.change(path, {{Range{{9, 9}, {3, 1}}, "!"}}, 6));
  CHECK(workspace.document(path)->text() == "one!");
}

TEST_CASE("a file that changes on the disk") {
  const Folder folder;
  folder.write("graft.bud", base);
  const auto path = folder.write("north.bud", north);
  Workspace workspace;
  workspace.open(path, north, 1);
  CHECK(codes(workspace, path).empty());
  folder.write("graft.bud", "protocol other \"Other\" { }\n");
  workspace.disk_changed();
  CHECK(has(codes(workspace, path), "unknown-base"));
  // What is open counts as it was typed, whatever the disk says.
  folder.write("north.bud", "rubbish");
  workspace.disk_changed();
  CHECK(workspace.document(path)->text() == north);
}

TEST_CASE("findings of a book") {
  const Folder folder;
  folder.write("graft.bud", base);
  folder.write("site.yaml", site);
  const auto path = folder.write("batches.yaml", batches);
  Workspace workspace;
  workspace.open(path, batches, 1);
  for (const Finding& one : workspace.findings(path)) {
    CAPTURE(told(one));
    CHECK(one.severity != text::Severity::error);
  }
  std::string wrong = batches;
  wrong.replace(wrong.find("graft"), 5, "graff");
  CHECK(workspace.change(path, {{std::nullopt, wrong}}, 2));
  CHECK(has(codes(workspace, path), "unknown-name"));
  CHECK(workspace.change(path, {{std::nullopt, "batches: [}"}}, 3));
  CHECK(has(codes(workspace, path), "yaml-syntax"));
}

TEST_CASE("a name in its base, what rests on it, and the book") {
  const Folder folder;
  const auto graft = folder.write("graft.bud", base);
  const auto path = folder.write("north.bud", north);
  folder.write("site.yaml", site);
  folder.write("batches.yaml", batches);
  Workspace workspace;
  workspace.set_roots({folder.path()});
  const SharedDocument document = workspace.document(path);
  // `tape` in line 4.
  const Position place{3, 51};
  const auto declared = declaration_of(workspace, *document, place);
  REQUIRE(declared);
  CHECK(declared->path == graft);
  CHECK(declared->range.begin == Position{2, 9});
  const auto uses = uses_of(workspace, *document, place);
  CHECK(uses.size() == 5);
  const Renaming done = rename(workspace, *document, place, "ribbon");
  CHECK(done.problem.empty());
  CHECK(done.edits.size() == 5);
  for (const FileEdit& edit : done.edits) {
    const SharedDocument one = workspace.document(edit.path);
    const std::uint32_t begin = one->offset(edit.range.begin);
    CHECK(one->text().substr(begin, one->offset(edit.range.end) - begin) == "tape");
  }
  CHECK_FALSE(rename(workspace, *document, place, "until").problem.empty());
  for (const char* name : {"2x", "", " ", "ribbon # red", "ribbon\n", "red ribbon"}) {
    CAPTURE(name);
    CHECK_FALSE(rename(workspace, *document, place, name).problem.empty());
  }
}

TEST_CASE("a crew is renamed where it goes round through a room as well") {
  const Folder folder;
  std::string text = base;
  text.insert(text.find("use 2 m"), "crew ann  ");
  const auto path = folder.write("graft.bud", text);
  folder.write("site.yaml",
               "site: Hill\n"
               "rooms:\n"
               "  bench: {scout: {for: [mites], cards: 4, from: 2027-03-01, until: "
               "2027-04-30, crew: ann}}\n"
               "crews:\n"
               "  ann: {people: 1, hours: 7 h}\n");
  folder.write("batches.yaml", batches);
  Workspace workspace;
  workspace.set_roots({folder.path()});
  const SharedDocument document = workspace.document(path);
  const Renaming done = rename(workspace, *document, Position{7, 42}, "bea");
  INFO(done.problem);
  CHECK(done.problem.empty());
  CHECK(done.edits.size() == 3);
}

TEST_CASE("any sequence of edits leads to what opening the text afresh shows") {
  const Folder folder;
  const auto path = folder.path() / "graft.bud";
  std::mt19937 chance(24);
  const std::vector<std::string> pieces{"}",  "{",    "\"", "lasts 3 days\n",   "#",
                                        "\n", "\r\n", "é",  "\xF0\x9F\x8C\xB1", "stage x of p {",
                                        " ",  "tape", "%"};
  for (int round = 0; round < 30; ++round) {
    Workspace edited;
    edited.open(path, base, 1);
    for (int i = 0; i < 12; ++i) {
      const auto number = [&](std::uint32_t most) {
        return static_cast<std::uint32_t>(chance() % most);
      };
      const Position begin{number(14), number(30)};
      const Position end{begin.line + number(2), number(30)};
      edited.change(path, {{Range{begin, end}, pieces[chance() % pieces.size()]}}, i + 2);
    }
    const std::string text(edited.document(path)->text());
    Workspace fresh;
    fresh.open(path, text, 1);
    std::vector<std::string> one, two;
    for (const Finding& finding : edited.findings(path)) one.push_back(told(finding));
    for (const Finding& finding : fresh.findings(path)) two.push_back(told(finding));
    CHECK(one == two);
    CHECK(colours(*edited.document(path)).size() == colours(*fresh.document(path)).size());
    CHECK(outline(*edited.document(path)).size() == outline(*fresh.document(path)).size());
  }
}

TEST_CASE("a folder with ten thousand files, and a file of a megabyte") {
  const Folder folder;
  for (int i = 0; i < 10'000; ++i) folder.write("n" + std::to_string(i) + ".txt", "");
  folder.write("graft.bud", base);
  const auto path = folder.write("north.bud", north);
  Workspace workspace;
  workspace.set_roots({folder.path()});
  workspace.open(path, north, 1);
  CHECK(codes(workspace, path).empty());
  std::string large = base;
  while (large.size() < (1U << 20U) + 10) large += "# a comment that goes on and on\n";
  workspace.open(path, large, 1);
  CHECK(has(codes(workspace, path), "large-file"));
  CHECK(colours(*workspace.document(path)).empty());
}
