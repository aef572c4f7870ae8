#include <doctest/doctest.h>

#include <set>

#include "language/parse/parse.hpp"
#include "language/statements.hpp"

/// The table of statements against the grammar.
namespace {

using namespace budwood;

/// A file in which a statement stands in a block; "" for blocks that need no test of their own.
std::string around(unsigned block, const std::string& statement) {
  const auto in = [&](const std::string& open, const std::string& close) {
    return open + " {\n" + statement + "\n}" + close + "\n";
  };
  switch (block) {
    case language::of_protocol:
      return in("protocol p", "");
    case language::of_stage:
      return in("protocol p { stage s of a", "}");
    case language::of_change:
      return in("protocol p { change stage s", "}");
    case language::of_conditional:
      return in("protocol p { stage s of a { if x on day 1", "}}");
    case language::of_work:
      return in("protocol p { stage s of a { do \"it\"", "}}");
    case language::of_rules:
      return in("rules r", "");
    case language::of_rule:
      return in("rules r { rule one", "}");
    case language::of_for_each:
      return in("rules r { rule one { for each work w", "}}");
    default:
      return "";
  }
}

}  // namespace

TEST_CASE("every example of a statement can be read in each of its blocks") {
  std::size_t read = 0;
  for (const language::Statement& one : language::statements) {
    const std::string form(one.form);
    CHECK(form.starts_with(one.words));
    for (unsigned block = language::of_file; block <= language::of_for_each; block *= 2) {
      if ((one.blocks & block) == 0) continue;
      // What stands in a block that is hinted at is another matter.
      std::string statement = form;
      for (std::size_t at; (at = statement.find("{ ... }")) != std::string::npos;) {
        statement.replace(at, 7, "{ }");
      }
      const bool hinted = statement.find("...") != std::string::npos;
      const bool changes_stage = block == language::of_change && one.words == "change";
      const bool of_change = block == language::of_change && one.words == "drop";
      const std::string written = around(block, of_change ? "drop work \"Pot on\"" : statement);
      if (hinted || changes_stage || written.empty()) continue;
      text::Sources sources;
      text::Diagnostics diagnostics;
      language::parse(sources.add("form.bud", written), diagnostics);
      CHECK_MESSAGE(!diagnostics.has_errors(), written);
      ++read;
    }
  }
  CHECK(read > 60);
}

TEST_CASE("words of statements stand once in the table") {
  std::set<std::string_view> words;
  for (const language::Statement& one : language::statements) {
    CHECK_MESSAGE(words.insert(one.words).second, one.words);
  }
}
