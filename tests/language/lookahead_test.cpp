// Before doctest, which has a macro of the name of one of its functions.
#include "language/parse/parser_run.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

/// The grammar is decided by few tokens: where it were not, each decision would read on to the end
/// of the file, and a program that starts would wait for it.
namespace budwood::language::test {

namespace {

namespace fs = std::filesystem;

struct Farthest {
  long long tokens = 0;
  std::string rule;
};

/// How far a reader has to look ahead in a file, and for which rule.
Farthest farthest_look(const fs::path& file) {
  std::ifstream in(file);
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  const text::Source source(file.string(), text);
  TokenRun tokens(source);
  grammar::BudwoodParser parser(&tokens.stream());
  parser.removeErrorListeners();
  parser.setProfile(true);
  parser.getInterpreter<antlr4::atn::ParserATNSimulator>()->setPredictionMode(
      antlr4::atn::PredictionMode::SLL);
  parser.file();
  Farthest out;
  const antlr4::atn::ATN& automaton = parser.getATN();
  for (const antlr4::atn::DecisionInfo& one : parser.getParseInfo().getDecisionInfo()) {
    if (one.SLL_MaxLook <= out.tokens) continue;
    out.tokens = one.SLL_MaxLook;
    out.rule = parser.getRuleNames()[automaton.getDecisionState(one.decision)->ruleIndex];
  }
  return out;
}

}  // namespace

TEST_CASE("no decision of the grammar looks far ahead in the library") {
  std::size_t files = 0;
  for (const auto& entry : fs::recursive_directory_iterator(BUDWOOD_PROTOCOLS)) {
    if (entry.path().extension() != ".bud") continue;
    ++files;
    CAPTURE(entry.path());
    const Farthest look = farthest_look(entry.path());
    CAPTURE(look.rule);
    CHECK(look.tokens > 0);
    // `source` behind a table is the table's: that is known at the next statement.
    CHECK(look.tokens <= (look.rule == "table" ? 40 : 16));
  }
  CHECK(files > 30);
}

}  // namespace budwood::language::test
