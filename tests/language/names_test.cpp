#include <doctest/doctest.h>

#include "language/model.hpp"
#include "reading.hpp"

using namespace reading;

namespace {

std::string advice_of(const std::string& content) {
  const auto all = Reading(content).diagnostics().sorted();
  return all.empty() ? "" : all.front().advice;
}

}  // namespace

TEST_CASE("lets may use each other in any order of writing") {
  const Reading read(with("let a = b + 1\nlet b = c * 2\nlet c = 3\nlet d = a + c"));
  const Protocol& protocol = read.protocol();
  for (const language::Let& let : protocol.lets) CHECK(let.value != language::no_formula);
}

TEST_CASE("a long chain of lets, written backwards, is followed") {
  std::string lets;
  for (int i = 0; i < 5000; ++i) {
    lets += "let a" + std::to_string(i) + " = a" + std::to_string(i + 1) + "\n";
  }
  const Reading read(with(lets + "let a5000 = 3 L"));
  CHECK(read.protocol().lets.front().type.dimension == units::volume);
}

TEST_CASE("lets in a circle are reported with the circle, each circle once") {
  const Reading read(with("let a = b + 1\nlet b = c * 2\nlet c = a\nlet d = d\nlet e = a"));
  CHECK(read.found() == Codes{"formula-circle 2:5", "formula-circle 5:5"});
  CHECK(read.first_message().find("`a` rests on `b`, which rests on `c`, which rests on `a`") !=
        std::string::npos);
}

TEST_CASE("of a very long circle the middle is left out") {
  std::string lets;
  for (int i = 0; i < 100; ++i) {
    lets += "let a" + std::to_string(i) + " = a" + std::to_string((i + 1) % 100) + "\n";
  }
  const Reading read(with(lets));
  CHECK(read.errors() == Codes{"formula-circle"});
  CHECK(read.first_message().find("92 more") != std::string::npos);
  CHECK(read.first_message().size() < 400);
}

TEST_CASE("a name that is nearly right finds the right one of its kind") {
  CHECK(advice_of(with("input speed = 3\nlet a = sped")) == "Did you mean `speed`?");
  CHECK(advice_of(with_stage("supply mix in L", "do \"x\" { use 3 L mxi }")) ==
        "Did you mean `mix`?");
  CHECK(advice_of(with("let a = stnd.end")) == "Did you mean `stand`?");
  CHECK(advice_of(with("let a = stand.ends")) == "Did you mean `end`?");
  CHECK(advice_of(with("let a = cel(3)")) == "Did you mean `ceil`?");
  CHECK(advice_of(with("table days_to(days) { }\n")) != "");
  CHECK(advice_of(with_stage("", "keep humidty 90 %")) == "Did you mean `humidity`?");
  CHECK(advice_of(with("supply acid in L hazard corosive")) == "Did you mean `corrosive`?");
}

TEST_CASE("a name of another kind is called what it is") {
  const auto message = [](const std::string& content) { return Reading(content).first_message(); };
  CHECK(message(with("let a = plant.end")) == "test.bud:2:9 `plant` is a part, not a stage.");
  CHECK(message(with("supply mix in L\nlet a = mix")) ==
        "test.bud:3:9 `mix` is a supply, not an input or `let`.");
  CHECK(message(with("let a = stand")) ==
        "test.bud:2:9 `stand` is a stage, not an input or `let`.");
  CHECK(message(with_stage("input a = 3", "do \"x\" { use 3 a }")) ==
        "test.bud:6:16 `a` is an input, not a supply.");
}

TEST_CASE("inputs, lets, tables and stages share their names; supplies and parts do not") {
  CHECK(Reading(with("input a = 3\nlet a = 4")).errors() == Codes{"duplicate-name"});
  CHECK(Reading(with("let stand = 4")).errors() == Codes{"duplicate-name"});
  CHECK(Reading(with("part plant")).errors() == Codes{"duplicate-name"});
  CHECK(Reading(with_stage("supply plant in plants", "do \"x\" { use 1 plant each }")).errors() ==
        Codes{});
  CHECK(Reading("protocol x {\npart stock\nstage stock of stock { lasts 1 day }\n}").errors() ==
        Codes{});
}

TEST_CASE("names that mean something in formulas are refused there and allowed elsewhere") {
  for (const char* name : {"min", "ceil", "vpd", "plants", "batch"}) {
    CHECK(Reading(with("let " + std::string(name) + " = 3")).errors() == Codes{"keyword-as-name"});
  }
  CHECK(Reading("protocol x {\npart plants\nstage s of plants { lasts 1 day }\n}").errors() ==
        Codes{});
}

TEST_CASE("`plants` in a stage is that stage's, and needs a stage elsewhere") {
  const Reading read(with_stage("", "space ceil(plants / 3) trays"));
  const Protocol& protocol = read.protocol();
  bool found = false;
  for (const Node& node : protocol.nodes) {
    found = found || (node.kind == Node::Kind::cell && node.target == 0 &&
                      node.property == language::Property::plants);
  }
  CHECK(found);
  CHECK(Reading(with("let a = plants")).errors() == Codes{"unknown-name"});
  CHECK(Reading(with("let a = batch.plants")).errors() == Codes{});
  CHECK(Reading(with("let a = batch.ready")).errors() == Codes{});
  CHECK(Reading(with("let a = batch.left")).errors() == Codes{"unknown-name"});
  CHECK(Reading(with("let a = stand.ready")).errors() == Codes{"unknown-name"});
}

TEST_CASE("what nothing uses is a warning, but not beside mistakes") {
  CHECK(Reading(with("input a = 3\nsupply b in L")).found() ==
        Codes{"unused-name 2:7", "unused-name 3:8"});
  // What a variant alone uses is used.
  const std::string variant =
      "\nvariant wet { change stage stand { do \"Wet\" { time 1 min  use 1 L b } } }";
  CHECK(Reading(with("supply b in L" + variant)).found() == Codes{});
  CHECK(Reading(with("supply b in L\nsupply c in L" + variant)).found() ==
        Codes{"unused-name 3:8"});
  // The use may stand in what could not be read.
  CHECK(Reading(with("input a = 3\nlet b = a + ")).errors() == Codes{"syntax"});
  CHECK(Reading(with("input a = 3\nlet b = a + ")).found().size() == 1);
  CHECK(Reading(with("input a = 3\nlet b = c")).found() == Codes{"unknown-name 3:9"});
}

TEST_CASE("a supply's own noun is a unit, wherever the supply is declared") {
  CHECK(Reading(with_stage("let a = 3 hanks\nsupply raffia in hanks pack 10 hanks",
                           "do \"x\" { use 2 hanks raffia }"))
            .errors() == Codes{});
  CHECK(Reading(with("let a = 3 hanks")).errors() == Codes{"unknown-unit"});
}

TEST_CASE("two protocols of a name need different editions") {
  const std::string body = " part p stage s of p { lasts 1 day } }\n";
  CHECK(Reading("protocol a {" + body + "protocol a { edition 2" + body).protocols().size() == 2);
  CHECK(Reading("protocol a {" + body + "protocol a {" + body).errors() == Codes{"duplicate-name"});
}

TEST_CASE("a protocol with a mistake keeps the whole file from being used") {
  const std::string body = " part p stage s of p { lasts 1 day } }\n";
  CHECK(Reading("protocol a {" + body + "protocol b { edition two" + body).protocols().empty());
}
