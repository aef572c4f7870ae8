#include <doctest/doctest.h>

#include <algorithm>

#include "book/book.hpp"
#include "book_folder.hpp"
#include "language/model.hpp"
#include "language/rules/rules.hpp"

/// The rule sets that a site follows, and what it waives of them.
using namespace budwood;
using namespace budwood::book;
using namespace budwood::book::test;

namespace {

constexpr const char* bench_graft =
    "protocol bench_graft { part p stage s of p { lasts 2 days do \"Look\" keep air 20 degC } }\n";
constexpr const char* rules =
    "rules house { rule warm { for each stage s { advise s.air.first >= 22 degC else \"Cold.\" } } "
    "}\n";

/// A book with a protocol, a rule set in `rules/`, and these lines in its site.
void read_with_rules(const std::string& lines, Outcome& outcome, const std::string& set = rules) {
  const Folder folder;
  folder.write("site.yaml", "site: N\n" + lines);
  folder.write("batches.yaml", small_batches);
  folder.write("graft.bud", bench_graft);
  std::filesystem::create_directories(folder.path() / "rules");
  folder.write("rules/house.bud", set);
  text::Diagnostics diagnostics;
  outcome.book = read_book(folder.path(), outcome.sources, diagnostics);
  for (const text::Diagnostic& d : diagnostics.sorted()) outcome.problems.push_back(one_line(d));
}

std::string problems(const std::string& lines) {
  Outcome outcome;
  read_with_rules(lines, outcome);
  return joined(outcome.problems);
}

}  // namespace

TEST_CASE("a site names the rule sets that its protocols follow") {
  Outcome without;
  read_with_rules("", without);
  REQUIRE(without.book);
  CHECK(joined(without.problems) == "");
  CHECK(without.book->rule_sets.size() == 1);
  CHECK(without.book->protocols.at(0).requirements.empty());

  Outcome with;
  read_with_rules("rules: [house, house]\n", with);
  REQUIRE(with.book);
  CHECK(joined(with.problems) == "");
  const auto& requirements = with.book->protocols.at(0).requirements;
  REQUIRE(requirements.size() == 1);
  CHECK(requirements[0].rule == "house.warm");
  CHECK(requirements[0].advice);
  CHECK(language::waiver_of(with.book->protocols.at(0), requirements[0]) == nullptr);
}

TEST_CASE("a site waives rules with a reason") {
  Outcome outcome;
  read_with_rules("rules: [house]\nwaive: {warm: stone house}\n", outcome);
  REQUIRE(outcome.book);
  CHECK(joined(outcome.problems) == "");
  const language::Protocol& one = outcome.book->protocols.at(0);
  const language::Waiver* waiver = language::waiver_of(one, one.requirements.at(0));
  REQUIRE(waiver != nullptr);
  CHECK(waiver->reason == "stone house");
}

TEST_CASE("the newest edition of a rule set counts") {
  Outcome outcome;
  const std::string newer =
      "rules house { edition 2 rule cold { for each stage s { advise s.air.first >= 23 degC else "
      "\"Cold.\" } } }\n";
  read_with_rules("rules: [house]\n", outcome, rules + newer);
  REQUIRE(outcome.book);
  REQUIRE(outcome.book->protocols.at(0).requirements.size() == 1);
  CHECK(outcome.book->protocols.at(0).requirements[0].rule == "house.cold");
}

TEST_CASE("mistakes in rules and waivers of a site") {
  CHECK(problems("rules: [hous]\n") ==
        "site.yaml:2:9 error unknown-name There is no rule set named `hous`. Did you mean "
        "`house`?\n");
  CHECK(problems("rules: house\n") ==
        "site.yaml:2:8 error wrong-value `rules` wants a list of rule sets, such as "
        "`[good_practice]`.\n");
  CHECK(problems("rules: [[house]]\n").find("error") != std::string::npos);
  CHECK(problems("rules: [\"a b\"]\n").find("error bad-name") != std::string::npos);
  CHECK(
      problems("rules: [house]\nwaive: {wram: x}\n") ==
      "site.yaml:3:9 warning unknown-rule No rule that is followed here is called `wram`. Did you "
      "mean `warm`?\n");
  CHECK(problems("waive: {warm: }\n").find("error") != std::string::npos);
  CHECK(problems("waive: [warm]\n").find("error") != std::string::npos);
  CHECK(problems("rules: []\n") == "");
}
