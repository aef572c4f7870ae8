// Text that is meant to do harm: none may crash, hang or grow without bound.
#include <doctest/doctest.h>

#include <random>

#include "book/batches/batch.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;
namespace text = budwood::text;

namespace {

std::string repeated(const std::string& piece, std::size_t times) {
  std::string result;
  result.reserve(piece.size() * times);
  for (std::size_t i = 0; i < times; ++i) result += piece;
  return result;
}

/// The first code that is reported, "" when all is well.
std::string first_code(const std::string& yaml) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto tree = read_tree(sources.add("t.yaml", yaml), diagnostics);
  CHECK(tree.has_value() != diagnostics.has_errors());
  return diagnostics.empty() ? "" : diagnostics.sorted()[0].code;
}

}  // namespace

TEST_CASE("deep nesting of every kind is refused before it can exhaust the stack") {
  CHECK(first_code(repeated("[", 100000)) == "too-deep");
  CHECK(first_code(repeated("{", 100000)) == "too-deep");
  CHECK(first_code(repeated("- ", 100000)) == "too-deep");
  CHECK(first_code(repeated("? ", 100000)) == "too-deep");
  CHECK(first_code(repeated("[a: ", 100000)) == "too-deep");
  CHECK(first_code(repeated("{a: [", 100000)) == "too-deep");
  CHECK(first_code(repeated("[\n", 100000)) == "too-deep");
  CHECK(first_code("a: " + repeated("[", 100000) + repeated("]", 100000)) == "too-deep");
  std::string indented;
  for (std::size_t i = 0; i < 1500; ++i) indented += std::string(i, ' ') + "a:\n";
  CHECK(first_code(indented) == "too-deep");
}

TEST_CASE("the limit of nesting is exact") {
  const auto nested = [](std::size_t depth) { return repeated("[", depth) + repeated("]", depth); };
  CHECK(first_code(nested(deepest_nesting)).empty());
  CHECK(first_code(nested(deepest_nesting + 1)) == "too-deep");
}

TEST_CASE("anchors that would expand a thousandfold are refused as written") {
  std::string bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n";
  for (int i = 1; i < 20; ++i) {
    const std::string name = "a" + std::to_string(i);
    const std::string last = "*a" + std::to_string(i - 1);
    bomb += name + ": &" + name + " [" + repeated(last + ", ", 9) + last + "]\n";
  }
  CHECK(first_code(bomb) == "yaml-anchor");
}

TEST_CASE("very many values are refused") {
  CHECK(first_code("[" + repeated("a,", most_values + 10) + "]") == "too-many-values");
}

TEST_CASE("long lines, many lines and many remarks are fine") {
  CHECK(first_code(repeated("a", 1000000)).empty());
  CHECK(first_code(repeated("#\n", 500000)).empty());
  CHECK(first_code(repeated("\n", 500000)).empty());
  CHECK(first_code("a: |\n" + repeated("  x\n", 200000)).empty());
  CHECK(first_code("\"" + repeated("\\n", 200000) + "\"").empty());
}

TEST_CASE("many repeated keys are told without taking long") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto tree = read_tree(sources.add("t.yaml", repeated("a: b\n", 50000)), diagnostics);
  REQUIRE(tree.has_value());
  CHECK(tree->entries.size() == 1);
  CHECK(diagnostics.has_errors());
}

TEST_CASE("damaged books are read or refused, never worse") {
  const std::string site =
      "site: North house\nlatitude: 44.6\nworking: {days: [mon, tue], hours: \"07:00-15:30\", "
      "closed: [2027-01-01]}\nrooms:\n  bench: {}\n  store: {holds: 30 crates}\ncrews:\n  potting: "
      "{people: 2, hours: 7 h}\nsupplies:\n  mix: {on_hand: 4 L, price: 0.6, lead_time: 14 "
      "days}\ninputs:\n  graft: {take: 82 %}\n";
  const std::string batches =
      "batches:\n  - batch: A1\n    protocol: graft edition 2\n    plants: 600\n    ready: "
      "2027-05-10\n    sure: 90 %\n    lots: {mix: \"row 4\"}\n    set: {take: 80 %}\n    pins: "
      "{graft.start: 2027-02-01}\n    note: |\n      text\n";
  const std::string pieces[] = {
      "[",   "]",     "{",  "}", ":",  "- ",       "\n", "\"", "'",
      "&a ", "*a",    "!",  "|", ">",  "? ",       "%",  "#",  "\t",
      "~",   "---\n", "  ", ",", "\\", "\xC3\xA9", "0",  "-1", "999999999999999999999",
      "."};
  std::mt19937 random(10);
  const auto damaged = [&](std::string yaml) {
    for (unsigned edits = 1 + random() % 6; edits > 0; --edits) {
      const std::size_t at = random() % yaml.size();
      if (random() % 2 == 0) {
        yaml.insert(at, pieces[random() % std::size(pieces)]);
      } else {
        yaml.erase(at, random() % 8);
      }
      if (yaml.empty()) yaml = "x";
    }
    return yaml;
  };
  int refused = 0;
  for (int round = 0; round < 3000; ++round) {
    text::Sources sources;
    text::Diagnostics diagnostics;
    const auto site_tree = read_tree(sources.add("site.yaml", damaged(site)), diagnostics);
    const auto batch_tree = read_tree(sources.add("batches.yaml", damaged(batches)), diagnostics);
    if (!site_tree || !batch_tree) {
      CHECK(diagnostics.has_errors());
      ++refused;
    }
  }
  CHECK(refused > 500);
  CHECK(refused < 3000);
  for (int round = 0; round < 100; ++round) {
    Outcome outcome;
    read(damaged(site), damaged(batches), outcome);
    if (!outcome.book) CHECK_FALSE(outcome.problems.empty());
    if (!outcome.book) continue;
    for (const Batch& batch : outcome.book->batches) {
      CHECK(batch.plants.value >= 1);
      CHECK(batch.ready.has_value() != batch.start.has_value());
      CHECK_FALSE(batch.protocol.value.empty());
    }
  }
}
