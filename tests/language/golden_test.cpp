#include <sstream>

#include "../golden.hpp"
#include "language/language.hpp"
#include "language/model.hpp"
#include "language/rules/rules.hpp"

/// Files beside the tests: protocols that must be accepted, and mistakes with what is printed for
/// them. tests/refresh_golden rewrites what is expected; what it changed is then read in the diff.
namespace {

using namespace budwood;
namespace fs = std::filesystem;
using tests::check_printed;
using tests::content_of;

const fs::path folder = BUDWOOD_LANGUAGE_TESTS;

/// What is printed for a file, under its bare name so that it is the same everywhere.
struct Printed {
  std::string printed;
  std::vector<language::Protocol> protocols;
  std::size_t errors = 0;
};

Printed read(const fs::path& path) {
  Printed reading;
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::string content = content_of(path);
  if (content.starts_with("\xEF\xBB\xBF")) content.erase(0, 3);
  const text::Source& source = sources.add(path.filename().string(), content);
  language::Document document = language::read(source, diagnostics);
  std::vector<const language::RuleSet*> sets;
  for (const language::RuleSet& one : document.rule_sets) sets.push_back(&one);
  for (language::Protocol& one : document.protocols) language::follow(one, sets, diagnostics);
  if (!diagnostics.has_errors()) reading.protocols = std::move(document.protocols);
  reading.errors = diagnostics.count(text::Severity::error);
  std::ostringstream out;
  text::print(out, diagnostics, text::Colour::never);
  reading.printed = out.str();
  return reading;
}

}  // namespace

TEST_CASE("golden: protocols that must be accepted") {
  const auto paths = tests::files_in(folder / "accept", ".bud");
  REQUIRE(paths.size() >= 10);
  for (const fs::path& path : paths) {
    const Printed reading = read(path);
    CHECK(reading.errors == 0);
    CHECK_FALSE(reading.protocols.empty());
    check_printed(path, reading.printed);
  }
}

TEST_CASE("golden: mistakes and what is said about them") {
  const auto paths = tests::files_in(folder / "mistakes", ".bud");
  REQUIRE(paths.size() >= 15);
  for (const fs::path& path : paths) {
    const Printed reading = read(path);
    CHECK(reading.errors > 0);
    CHECK(reading.protocols.empty());
    check_printed(path, reading.printed);
  }
}

TEST_CASE("golden: ten mistakes give ten diagnostics, each at the line that holds it") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source =
      sources.add("ten_mistakes.bud", content_of(folder / "mistakes" / "ten_mistakes.bud"));
  language::read(source, diagnostics);
  const auto all = diagnostics.sorted();
  REQUIRE(all.size() == 10);
  for (std::size_t i = 0; i < all.size(); ++i) {
    const std::size_t line = source.place(all[i].span.begin).line;
    const std::string mark = "# " + std::to_string(i + 1) + ":";
    INFO(all[i].message);
    CHECK(source.line(line).find(mark) != std::string_view::npos);
  }
}
