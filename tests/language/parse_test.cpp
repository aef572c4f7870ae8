#include <doctest/doctest.h>

#include <map>

#include "language/language.hpp"
#include "language/model.hpp"
#include "language/parse/parse.hpp"
#include "reading.hpp"

using namespace budwood;
using language::Operation;
using Formula = language::syntax::Formula;
namespace tree = language::syntax;

namespace {

struct Parsed {
  explicit Parsed(std::string content)
      : source(sources.add("test.bud", std::move(content))),
        file(language::parse(source, diagnostics)) {}

  text::Sources sources;
  const text::Source& source;
  text::Diagnostics diagnostics;
  tree::File file;

  const tree::Protocol& protocol() const {
    REQUIRE(file.protocols.size() == 1);
    return file.protocols.front();
  }
};

template <typename Item>
const Item& only(const std::vector<tree::ProtocolItem>& items) {
  for (const tree::ProtocolItem& item : items) {
    if (const auto* found = std::get_if<Item>(&item)) return *found;
  }
  FAIL("not there");
  return std::get<Item>(items.front());
}

/// The formula with brackets round every operation: what binds tighter shows.
std::string shape(const Formula& f) {
  const auto argument = [&](std::size_t i) { return shape(f.arguments[i]); };
  switch (f.kind) {
    case Formula::Kind::number: {
      const std::string unit = f.unit.text.empty() ? "" : " " + f.unit.text;
      return std::to_string(static_cast<int>(f.number)) + unit;
    }
    case Formula::Kind::date:
      return "date";
    case Formula::Kind::name:
      return f.name.text;
    case Formula::Kind::member:
    case Formula::Kind::has: {
      std::string out = f.name.text;
      for (const auto& member : f.members) {
        out += (f.kind == Formula::Kind::has ? " has " : ".") + member.text;
      }
      return out;
    }
    case Formula::Kind::choose_of:
      return "some";
    case Formula::Kind::between:
      return "(" + argument(0) + " between " + argument(1) + " " + argument(2) + ")";
    case Formula::Kind::call: {
      std::string out = f.name.text + "(";
      for (std::size_t i = 0; i < f.arguments.size(); ++i) out += (i > 0 ? "," : "") + argument(i);
      return out + ")";
    }
    case Formula::Kind::apply:
      break;
  }
  static const std::map<Operation, std::string> words{
      {Operation::add, "+"},         {Operation::subtract, "-"}, {Operation::multiply, "*"},
      {Operation::divide, "/"},      {Operation::power, "^"},    {Operation::negate, "-"},
      {Operation::less, "<"},        {Operation::equal, "="},    {Operation::unequal, "!="},
      {Operation::both, "and"},      {Operation::either, "or"},  {Operation::invert, "not"},
      {Operation::less_equal, "<="}, {Operation::choose, "if"},
  };
  const std::string word = words.at(f.operation);
  if (f.arguments.size() == 1) return "(" + word + " " + argument(0) + ")";
  if (f.arguments.size() == 2) return "(" + argument(0) + " " + word + " " + argument(1) + ")";
  return "(" + word + " " + argument(0) + " " + argument(1) + " " + argument(2) + ")";
}

std::string shape_of(const std::string& formula) {
  const Parsed parsed("protocol test {\nlet x = " + formula + "\n}");
  CHECK(parsed.diagnostics.empty());
  return shape(only<tree::Let>(parsed.protocol().items).value);
}

}  // namespace

TEST_CASE("operators bind as in arithmetic") {
  CHECK(shape_of("1 + 2 * 3") == "(1 + (2 * 3))");
  CHECK(shape_of("1 - 2 - 3") == "((1 - 2) - 3)");
  CHECK(shape_of("8 / 4 / 2") == "((8 / 4) / 2)");
  CHECK(shape_of("2 ^ 3 ^ 2") == "(2 ^ (3 ^ 2))");
  CHECK(shape_of("-a ^ 2") == "(- (a ^ 2))");
  CHECK(shape_of("2 ^ -3") == "(2 ^ -3)");
  CHECK(shape_of("- - a") == "(- (- a))");
  CHECK(shape_of("-2 degC") == "-2 degC");
  CHECK(shape_of("(1 + 2) * 3") == "((1 + 2) * 3)");
}

TEST_CASE("comparisons bind looser than sums, and `and` tighter than `or`") {
  CHECK(shape_of("1 + 2 < 4 and not 5 = 6 or 7 != 8") ==
        "((((1 + 2) < 4) and (not (5 = 6))) or (7 != 8))");
  CHECK(shape_of("a between 1 and 2 and b") == "((a between 1 2) and b)");
  CHECK(shape_of("if a < 1 then 2 else 3 + 4") == "(if (a < 1) 2 (3 + 4))");
}

TEST_CASE("numbers carry units, also quotients and `per`") {
  CHECK(shape_of("120 umol/m2/s") == "120 umol/m2/s");
  CHECK(shape_of("55 per hour") == "55 1/hour");
  CHECK(shape_of("30 plants per day") == "30 plants/day");
  CHECK(shape_of("85 %") == "85 %");
  CHECK(shape_of("1 day") == "1 day");
  CHECK(shape_of("a / m2") == "(a / m2)");
  CHECK(shape_of("2027-03-14") == "date");
}

TEST_CASE("calls, members and tables of a stage") {
  CHECK(shape_of("ceil(plants / 60)") == "ceil((plants / 60))");
  CHECK(shape_of("max(1, b, c.end)") == "max(1,b,c.end)");
  CHECK(shape_of("s.start + s.room + s.space + s.last") ==
        "(((s.start + s.room) + s.space) + s.last)");
}

TEST_CASE("text keeps what is in the quotes; a backslash makes the next character plain") {
  const Parsed parsed(R"(protocol x "A \"quoted\" word, a \\ and a #" { })");
  CHECK(parsed.diagnostics.empty());
  CHECK(parsed.protocol().title->value == R"(A "quoted" word, a \ and a #)");
}

TEST_CASE("spans count bytes and places count characters, also behind accents") {
  const Parsed parsed("protocol été \"ü\" {\n  let é = 5 °C\n}");
  CHECK(parsed.diagnostics.empty());
  const tree::Let& let = only<tree::Let>(parsed.protocol().items);
  CHECK(text::text_of(let.name.span) == "é");
  CHECK(text::text_of(let.value.span) == "5 °C");
  CHECK(text::text_of(let.value.unit.span) == "°C");
  CHECK(text::describe(let.value.span) == "test.bud:2:11");
}

TEST_CASE("a byte-order mark in the text itself does not shift places") {
  const Parsed parsed("\xEF\xBB\xBFprotocol été {\n  let é = 5\n}");
  CHECK(parsed.diagnostics.empty());
  CHECK(text::text_of(only<tree::Let>(parsed.protocol().items).name.span) == "é");
  CHECK(text::text_of(parsed.protocol().name.span) == "été");
}

TEST_CASE("what was readable comes back beside the mistakes") {
  const Parsed parsed("protocol x {\n  part a\n  edition two\n  part b\n  prt c\n  part d\n}");
  std::vector<std::string> parts;
  for (const tree::ProtocolItem& item : parsed.protocol().items) {
    if (const auto* part = std::get_if<tree::Part>(&item)) parts.push_back(part->name.text);
  }
  CHECK(parts == std::vector<std::string>{"a", "b", "d"});
  CHECK(parsed.diagnostics.count(text::Severity::error) == 2);
  CHECK(parsed.protocol().has_unread);
}

TEST_CASE("the name of a declaration that cannot be read is remembered") {
  const Parsed parsed("protocol x {\n  input speed = fast 3\n  table t(degC) { }\n  part p p\n}");
  CHECK(parsed.protocol().unread_names == std::vector<std::string>{"speed", "t", "p"});
}

TEST_CASE("a misspelt keyword on a line of its own is not taken for a unit or a name") {
  using reading::Codes;
  // Without the line break `tol` would be the unit of 2, or the supply's name.
  CHECK(
      reading::Reading(reading::with_stage("", "do \"x\" {\npeople 2\ntol \"Knife\"\n}")).found() ==
      Codes{"unknown-statement 8:1"});
  CHECK(reading::Reading(
            reading::with_stage("supply mix in L", "do \"x\" {\nuse 2 L mix\ntol \"Knife\"\n}"))
            .found() == Codes{"unknown-statement 8:1"});
  CHECK(reading::Reading(reading::with_stage("", "space ceil(plants / 3)\nroooms x\nloses 3 %"))
            .found() == Codes{"unknown-statement 7:1"});
}

TEST_CASE("a keyword where a name is wanted is reported as such and costs nothing else") {
  using reading::Codes;
  CHECK(reading::Reading("protocol x {\npart stock\npart room\nstage s of stock { lasts 1 day }\n}")
            .found() == Codes{"keyword-as-name 3:6"});
  CHECK(reading::Reading("protocol stage {\npart p\nstage s of p { lasts 1 day }\n}").found() ==
        Codes{"keyword-as-name 1:10"});
  CHECK(reading::Reading(reading::with_stage("", "room mist\nloses 3 %")).found() ==
        Codes{"keyword-as-name 6:6"});
}

TEST_CASE("a mistake in the head of a block does not hide the mistakes in the block") {
  using reading::Codes;
  const std::string head = "protocol x {\npart p\n";
  CHECK(reading::Reading(head + "stage s off p {\nlasts 1 dya 3\nrooom b\n}\n}").found() ==
        Codes{"syntax 3:9", "syntax 4:9", "unknown-statement 5:1"});
  CHECK(reading::Reading(head +
                         "stage s of p {\nlasts 1 day\ndo \"x\" on dya 3 {\ntimee 3 min\n}\n}\n}")
            .found() == Codes{"syntax 5:11", "unknown-statement 6:1"});
  CHECK(reading::Reading(head +
                         "stage s of p {\nlasts 1 day\ndo \"x\" on day 3 3 {\ntimee 3 min\n}\n}\n}")
            .found() == Codes{"syntax 5:17", "unknown-statement 6:1"});
}

TEST_CASE("a forgotten brace is told from a statement in the wrong place by the count of braces") {
  using reading::Codes;
  // No brace is missing: `part` stands in the stage by mistake.
  CHECK(
      reading::Reading("protocol x {\npart p\nstage s of p {\npart q\nlasts 1 day\n}\n}").found() ==
      Codes{"misplaced 4:1"});
  // One is missing: the stage before `part q` was not closed.
  CHECK(reading::Reading("protocol x {\npart p\nstage s of p {\nlasts 1 day\npart q\n}").errors() ==
        Codes{"unclosed-block"});
}

TEST_CASE("a file without a protocol says so") {
  using reading::Codes;
  CHECK(reading::Reading("").found() == Codes{"empty-file 1:1"});
  CHECK(reading::Reading(" \n# only a comment\n").found() == Codes{"empty-file 1:1"});
}

TEST_CASE("a mistake among the points of a table does not close the block around it") {
  using reading::Codes;
  const std::string rest = "\nnonsense 3\npart p\nstage s of p { lasts 1 day }\n}";
  for (const char* points :
       {"7:42 13: 21", "1 2", "1: 2 3", "x: 3", "1: 2; 3: 4", "1: 2 nonsense"}) {
    const reading::Reading read("protocol x {\ntable t(a -> b) { " + std::string(points) + " }" +
                                rest);
    CAPTURE(std::string(points));
    REQUIRE(read.found().size() == 2);
    CHECK(read.found().back() == "unknown-statement 3:1");
  }
}
