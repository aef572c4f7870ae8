#include <doctest/doctest.h>

#include <chrono>
#include <random>
#include <sstream>

#include "language/rules/rules.hpp"
#include "reading.hpp"

/// Text that nobody wrote in good faith: it must end soon, without a crash, with diagnostics.
namespace {

using namespace reading;

std::string repeated(const std::string& text, std::size_t times) {
  std::string out;
  out.reserve(text.size() * times);
  for (std::size_t i = 0; i < times; ++i) out += text;
  return out;
}

/// Reads and prints; far more time than any machine needs, so that only a hang fails.
Reading read_soon(const std::string& content) {
  constexpr std::chrono::seconds patience{60};
  const auto begin = std::chrono::steady_clock::now();
  Reading read(content);
  std::ostringstream out;
  text::print(out, read.diagnostics(), text::Colour::never);
  CHECK(out.str().size() < 2'000'000);
  CHECK(std::chrono::steady_clock::now() - begin < patience);
  return read;
}

void must_fail(const std::string& what, const std::string& content) {
  INFO(what);
  const Reading read = read_soon(content);
  CHECK(read.diagnostics().has_errors());
  CHECK(read.protocols().empty());
}

const std::string let = "protocol x {\nlet a = ";

}  // namespace

TEST_CASE("hostile: nesting without end") {
  constexpr std::size_t n = 100'000;
  must_fail("brackets", let + repeated("(", n));
  must_fail("closed brackets", let + repeated("(", n) + "1" + repeated(")", n) + "\n}");
  must_fail("braces", repeated("{", n));
  must_fail("blocks", repeated("protocol x {\n", n / 4));
  must_fail("closing braces", repeated("}", n));
  must_fail("minus", let + repeated("- ", n) + "1 }");
  must_fail("not", let + repeated("not ", n) + "1 }");
  must_fail("powers", let + "2" + repeated(" ^ 2", n) + " }");
  must_fail("if in condition", let + repeated("if ", n) + "}");
  must_fail("if in else", let + repeated("if 1 < 2 then 3 else ", n / 4) + "3 }");
  must_fail("calls", let + repeated("max(1, ", n) + "}");
  // Every rule of the grammar that can stand in itself, by whatever way.
  const std::string rule = "rules r {\nrule a {\n";
  must_fail("for each", rule + repeated("for each stage s {\n", n / 4));
  must_fail("for each, closed", rule + repeated("for each stage s {\n", n / 6) +
                                    "require s.days >= 1 day else \"short\"\n" +
                                    repeated("}\n", n / 6 + 2));
  must_fail("for each step", rule + repeated("for each step from a to b {\n", n / 4));
  const std::string require = rule + "for each stage s {\nrequire ";
  must_fail("some",
            require + repeated("some stage t where ", n / 4) + "t.days > 1 day else \"x\" } } }");
  must_fail("no", require + repeated("no work w where ", n / 4) + "1 < 2 else \"x\" } } }");
  must_fail("count of",
            require + repeated("count of stage t where ", n / 6) + "1 < 2 else \"x\" } } }");
  must_fail("every meets",
            require + repeated("every stage t meets ", n / 4) + "1 < 2 else \"x\" } } }");
  must_fail("every where", require + repeated("every stage t where ", n / 4) + "1 < 2");
  must_fail("if in then", let + repeated("if 1 < 2 then ", n / 4) + "1");
  must_fail("minus in powers", let + repeated("2 ^ - ", n / 4) + "2 }");
  must_fail("between", let + repeated("(1 between ", n / 4) + "1");
  must_fail("conditions", with_stage("", repeated("if ", n) + "1 < 2 on day 1 { }"));
  must_fail("blocks that may not stand in themselves",
            with_stage("", repeated("if 1 < 2 on day 1 {\n", n / 4)));
  must_fail("repeat", "protocol x {\n" + repeated("repeat 2 times {\n", n / 4));
  must_fail("changes",
            "protocol x based on y edition 1 {\n" + repeated("change stage s {\n", n / 4));
  must_fail("work", with_stage("", repeated("do \"x\" {\n", n / 4)));
  // A word that can start a statement stands inside formulas too.
  must_fail("members", let + "s.space" + repeated(" ^ s.space", n / 4) + " }");
  must_fail("members and minus", let + "s.room" + repeated(" - - s.people", n / 4) + " }");
}

TEST_CASE("hostile: just within the nesting that is read") {
  std::string brackets = repeated("(", 40) + "1" + repeated(")", 40);
  CHECK(Reading(with("let a = " + brackets)).errors() == Codes{});
  CHECK(Reading(with("let a = 1 + " + repeated("- ", 200) + "1")).errors() == Codes{});
  must_fail("each line nested, none closed",
            "protocol x {\n" + repeated("let a = " + repeated("(", 30) + "\n", 5'000));
}

TEST_CASE("hostile: loops within loops are bounded, whatever they go through") {
  const auto loops = [](int levels) {
    std::string out = "rules r {\nrule a {\n";
    for (int i = 0; i < levels; ++i) out += "for each stage s" + std::to_string(i) + " {\n";
    return out + "require s0.days >= 1 day else \"short\"\n" +
           repeated("}\n", static_cast<std::size_t>(levels) + 2);
  };
  CHECK(Reading(loops(3)).errors() == Codes{});
  CHECK(read_soon(loops(9)).errors() == Codes{"too-nested"});
  // 100 stages in each of 8 loops would be as many turns as there are stars.
  std::string stages;
  for (int i = 0; i < 100; ++i) {
    stages += "stage t" + std::to_string(i) + " of plant { lasts 1 day room bench }\n";
  }
  text::Sources sources;
  text::Diagnostics diagnostics;
  language::Document read =
      language::read(sources.add("x.bud", loops(8) + with(stages)), diagnostics);
  REQUIRE(read.protocols.size() == 1);
  language::follow(read.protocols.front(), read.rule_sets.front(), diagnostics);
  REQUIRE(diagnostics.count(text::Severity::error) == 1);
  CHECK(diagnostics.sorted().front().code == "large-rule");
}

TEST_CASE("hostile: chains without end") {
  constexpr std::size_t n = 100'000;
  must_fail("sum", let + "1" + repeated(" + 1", n) + " }");
  must_fail("product", let + "1" + repeated(" * 1", n) + " }");
  must_fail("and", let + "1 < 2" + repeated(" and 1 < 2", n / 2) + " }");
  must_fail("members", let + "s.space" + repeated(" + s.space", n / 2) + " }");
  must_fail("arguments", let + "max(1" + repeated(", 1", n) + ") }");
  must_fail("between", let + repeated("(if ", 20) + "1" +
                           repeated(" between 1 and 2 then 1 else 2)", 20) + " }");
  must_fail("days", with_stage("", "do \"x\" on day 1" + repeated(", day 1", n)));
  must_fail("hazards", with_stage("supply z in L" + repeated(" hazard toxic", n / 4),
                                  "do \"x\" {" + repeated(" use 1 z", n / 4) + " }"));
  must_fail("table", with("table t(a -> b) {" + repeated(" 1: 2", n) + " }"));
}

TEST_CASE("hostile: mistakes without end") {
  constexpr std::size_t n = 100'000;
  must_fail("characters", "protocol x {\n" + repeated("$\n", n));
  must_fail("quotes", "protocol x {\n" + repeated("\"\n", n));
  must_fail("words", "protocol x {\n" + repeated("nonsense\n", n));
  must_fail("keywords", "protocol x {\n" + repeated("let\n", n));
  must_fail("mixed", "protocol x {\n" + repeated("( } { ) : ", n / 4));
  must_fail("heads", "protocol x {\npart p\n" + repeated("stage s of p {\n", n / 4));
  must_fail("protocols", repeated("protocol x { }\n", n / 2));
  must_fail("the same name", "protocol x {\n" + repeated("let a = 1\n", 9'000) + "}");
}

TEST_CASE("hostile: reading stops when there is too much to report") {
  const Reading read = read_soon("protocol x {\n" + repeated("nonsense line\n", 5'000) + "}");
  CHECK(read.errors().back() == "too-many");
  CHECK(read.errors().size() < 300);
}

TEST_CASE("hostile: names without end") {
  std::string unknown;
  std::string chain;
  std::string stages;
  std::string parts;
  std::string units;
  for (int i = 0; i < 9'000; ++i) {
    const std::string n = std::to_string(i);
    unknown += "let a" + n + " = b" + n + "\n";
    chain += "let a" + n + " = a" + std::to_string((i + 1) % 9'000) + "\n";
    stages += "stage s" + n + " of plant { lasts 1 day }\n";
    parts += "part p" + n + "\n";
    units += "let a" + n + " = 3 unit" + n + "\n";
  }
  must_fail("unknown names", with(unknown));
  must_fail("a circle of all", with(chain));
  must_fail("stages", with(stages));
  must_fail("unknown units", with(units));
  read_soon(with(parts));

  std::string alike;
  for (int i = 0; i < 999; ++i) {
    const std::string n = std::string(50, 'a') + std::to_string(i);
    alike += "let " + n + " = " + n + "x\n";
  }
  must_fail("unknown names, all much alike", with(alike));
  std::string pairs;
  for (int i = 0; i < 1'000; ++i) {
    const std::string n = std::to_string(i);
    pairs += "let a" + n + " = b" + n + "\nlet b" + n + " = a" + n + "\n";
  }
  must_fail("many circles", with(pairs));
}

TEST_CASE("hostile: words, texts and numbers without end") {
  const std::string endless(500'000, 'a');
  must_fail("name", "protocol x {\nlet " + endless + " = 1\n}");
  must_fail("unit", let + "1 " + endless + "\n}");
  must_fail("quotient of units", let + "1 u" + repeated("/u", 200'000) + "\n}");
  must_fail("text", "protocol x \"" + endless + "\" { }");
  must_fail("open text", "protocol x \"" + endless);
  must_fail("keyword-like", "protocol x {\n" + endless + "\n}");
  must_fail("digits", let + std::string(500'000, '9') + "\n}");
  must_fail("decimals", let + "1." + std::string(500'000, '0') + "e\n}");
  must_fail("comment", "#" + endless);
  must_fail("line breaks", std::string(500'000, '\n'));
  must_fail("spaces", std::string(500'000, ' '));
}

TEST_CASE("hostile: numbers at the edge") {
  CHECK(Reading(with("let a = 1000000000000")).errors() == Codes{});
  CHECK(Reading(with("let a = 1000000000001")).errors() == Codes{"large-number"});
  CHECK(Reading(with("let a = 99999999999999999999 umol/m2/s")).errors() == Codes{"large-number"});
  CHECK(Reading(with("let a = " + std::string(400, '9'))).errors() == Codes{"large-number"});
  CHECK(Reading(with("let a = 1 / 0")).errors() == Codes{});  // has no value; judged with the batch
  CHECK(Reading(with("let a = 0." + std::string(400, '0') + "1")).errors() == Codes{});
  CHECK(Reading(with("edition 99999999999999999999")).errors() == Codes{"whole-number"});
  CHECK(Reading(with_stage("", "do \"x\" on day 99999999999")).errors() == Codes{"whole-number"});
  CHECK(Reading(with_stage("", "do \"x\" every 99999999999 weeks")).errors() ==
        Codes{"whole-days"});
}

TEST_CASE("hostile: dates that do not exist") {
  for (const char* date : {"2027-02-29", "2027-13-01", "2027-00-10", "2027-04-31", "0000-01-01",
                           "9999-12-31", "1969-12-31", "2200-01-01"}) {
    CHECK(Reading(with(std::string("let a = ") + date)).errors() == Codes{"no-such-date"});
  }
  CHECK(Reading(with("let a = 2028-02-29")).errors() == Codes{});
}

TEST_CASE("hostile: bytes that are no text, and files too large to be a method") {
  must_fail("NUL", std::string("protocol x {\0}", 14));
  must_fail("Latin-1", "protocol \xE9t\xE9 { }");
  must_fail("cut short", "protocol x { # \xE2\x82");
  CHECK(Reading("protocol \xE9t\xE9 { }").errors() == Codes{"not-text"});
  must_fail("a line of 50 MB", std::string(50'000'000, 'x'));
  CHECK(Reading(std::string((1U << 20U) + 1, 'x')).errors() == Codes{"large-file"});
  std::mt19937 random(7);
  std::string noise(300'000, ' ');
  for (char& c : noise) c = static_cast<char>(random() & 0xFFU);
  must_fail("noise", noise);
  for (char& c : noise) c = static_cast<char>(32 + random() % 95);
  must_fail("printable noise", noise);
}

TEST_CASE("hostile: all kinds of characters that look like spaces or nothing") {
  must_fail("zero-width space", "protocol x {\u200B}");
  must_fail("right-to-left override", "protocol \u202Ex { }");
  // A no-break space, as word processors write before °C or %, is a space.
  CHECK(Reading(with_stage("", "keep air 20\u00A0°C")).errors() == Codes{});
}
