// What may stand in site.yaml and batches.yaml.

#include <algorithm>

#include "../words.hpp"
#include "editor/completion.hpp"
#include "editor/names.hpp"
#include "editor/outline.hpp"
#include "editor/pointing.hpp"
#include "folder.hpp"

using namespace budwood;
using budwood::tests::has;
using namespace budwood::editor;

namespace {

const char* const method = R"(protocol fern "Fern" {
  edition 1
  input strike = 80 % from 10 % to 100 % "that root"
  supply tray "Tray" in trays
  part p "P"
  stage rooting of p {
    lasts 10 days
    room warm_house
    do "Set out" on day 1 { time 5 min  crew ann }
  }
  variant wounded "Wounded" { set strike = 85 % }
}
rules house "House" {
  edition 1
  rule hot "Not too hot" {
    for each stage s { advise s.air.highest <= 35 degC else "Hot." }
  }
}
)";

/// What is offered at the mark `|` of a file of a book, as "word" or, behind the caret, "word: ".
std::vector<std::string> offered(const char* file, std::string text) {
  const Folder folder;
  folder.write("fern.bud", method);
  folder.write("site.yaml",
               "site: Hill\nlots: {L-1: {of: tray, count: 5}, M-1: {of: mix, count: 5}}\n");
  folder.write("batches.yaml", "batches: []\n");
  const std::size_t mark = text.find('|');
  text.erase(mark, 1);
  const auto path = folder.path() / file;
  Workspace workspace;
  workspace.open(path, text, 1);
  const SharedDocument document = workspace.document(path);
  std::vector<std::string> out;
  for (const Completion& one : complete(workspace, *document, document->lines().position(mark))) {
    out.push_back(one.label);
  }
  return out;
}
std::vector<std::string> in_site(const std::string& text) {
  return offered("site.yaml", text);
}
/// Below the protocol of a batch.
std::vector<std::string> in_batch(const std::string& text) {
  return offered("batches.yaml", "batches:\n  - batch: A\n    protocol: fern  # ours\n    " + text);
}

using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("keys, by what stands around them") {
  CHECK(has(in_site("|"), "rooms"));
  CHECK(has(in_site("site: N\nrooms:\n  warm:\n    |"), "holds"));
  CHECK(has(in_site("rooms: {warm: {holds: 3 trays, |"), "zones"));
  CHECK(has(in_site("rooms: {warm: {scout: {cards: 8, |"), "act_at"));
  CHECK(in_site("crews:\n  # Ann\n  ann: {duty: {|") == Words{"days", "hours", "who"});
  CHECK(has(in_site("climate:\n  normals: {jan: 3, |"), "feb"));
  CHECK(in_site("lots: {L-1: {|") == Words{"of", "count", "test", "use_by", "cultivar"});
  CHECK(has(in_site("mothers:\n  first:\n    |"), "gives"));
  CHECK(has(in_batch("|"), "ready"));
  CHECK(has(in_batch("trial: {|"), "arms"));
  CHECK(in_batch("trial: {arms: {house: , warm: {|") == Words{"variant", "set"});
  CHECK(has(offered("batches.yaml", "|"), "batches"));
  CHECK(has(offered("batches.yaml", "batches:\n  - |"), "batch"));
}

TEST_CASE("names that the methods ask for") {
  CHECK(in_site("rooms:\n  |") == Words{"warm_house"});
  CHECK(in_site("crews: {|") == Words{"ann"});
  CHECK(in_site("supplies:\n  |") == Words{"tray"});
  CHECK(in_site("inputs:\n  fern: {|") == Words{"strike"});
  CHECK(in_site("rules: [|") == Words{"house"});
  CHECK(in_batch("set: {|") == Words{"strike"});
  CHECK(in_batch("lots: {|") == Words{"tray"});
  CHECK(in_batch("pins:\n      |") == Words{"rooting.start", "rooting.end"});
}

TEST_CASE("values") {
  CHECK(offered("batches.yaml", "batches:\n  - protocol: |") == Words{"fern"});
  CHECK(in_batch("variant: |") == Words{"wounded"});
  CHECK(has(in_site("working: {days: [mon, |"), "tue"));
  CHECK(in_site("lots: {L-1: {of: |") == Words{"tray"});
  CHECK(in_site("mothers:\n  first:\n    of: |") == Words{"tray"});
  CHECK(in_batch("lots: {tray: |") == Words{"L-1"});
  CHECK(in_site("protocols: |") == Words{"budwood"});
  CHECK(in_batch("ready: |").empty());
  // The method of another batch does not count.
  CHECK(offered("batches.yaml", "batches:\n  - protocol: fern\n  - batch: B\n    variant: |")
            .empty());
}

TEST_CASE("names lead to their methods, keys to the reference") {
  const Folder folder;
  const auto fern = folder.write("fern.bud", method);
  const std::string site =
      "site: Hill\nrooms: {warm_house: {holds: 40 trays}}\nsupplies: {tray: }\n";
  const std::string batches =
      "batches:\n  - batch: A\n    protocol: fern\n    variant: wounded\n    plants: 20\n"
      "    set: {strike: 70 %}\n    pins: {rooting.start: 2027-03-01}\n    ready: 2027-05-03\n";
  const auto site_file = folder.write("site.yaml", site);
  const auto batches_file = folder.write("batches.yaml", batches);
  Workspace workspace;
  workspace.set_roots({folder.path()});
  const auto at = [](const SharedDocument& document, const std::string& word) {
    return document->lines().position(document->text().find(word) + 1);
  };
  const SharedDocument one = workspace.document(batches_file);
  const auto line_of = [&](const std::string& word) {
    const auto found = declaration_of(workspace, *one, at(one, word));
    return found && found->path == fern ? static_cast<int>(found->range.begin.line) : -1;
  };
  CHECK(line_of("fern") == 0);
  CHECK(line_of("wounded") == 10);
  CHECK(line_of("strike") == 2);
  CHECK(line_of("rooting") == 5);
  CHECK(line_of("2027-05") == -1);
  const SharedDocument other = workspace.document(site_file);
  CHECK(uses_of(workspace, *other, at(other, "warm_house")).size() == 2);
  const Renaming done = rename(workspace, *other, at(other, "warm_house"), "cool_house");
  CHECK(done.edits.size() == 2);
  CHECK_FALSE(rename(workspace, *other, at(other, "Hill"), "Dale").problem.empty());
  const auto told = [&](const SharedDocument& document, const std::string& word) {
    const auto pointed = point_at(workspace, *document, at(document, word));
    return pointed ? pointed->text : "";
  };
  CHECK(told(one, "ready").find("`ready`: ") == 0);
  CHECK(told(other, "holds").find("`holds`: ") == 0);
  CHECK(told(one, "strike").find("input strike") != std::string::npos);
  CHECK(told(one, "20").empty());
  const auto parts = outline(*other);
  REQUIRE(parts.size() == 3);
  CHECK(parts[1].below.front().name == "warm_house");
  const auto lines = outline(*one);
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].below.front().name == "A");
  CHECK(lines[0].below.front().detail == "fern");
}

TEST_CASE("what is no YAML yet") {
  for (const char* text : {"}|", "]]}|", "a: b: c: {|", "\t- |", "- - - |", ":|", "{[{[|", "#|"}) {
    CAPTURE(text);
    in_site(text);
    in_batch(text);
  }
}
