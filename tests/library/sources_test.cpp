#include <string>
#include <vector>

#include "../words.hpp"
#include "language/language.hpp"
#include "language/model.hpp"
#include "library.hpp"
#include "text/diagnostic.hpp"

/// Every figure that loads a plan says where it is from, or that nobody has published it.
using namespace budwood;
using budwood::tests::any_has;
using namespace budwood::library::test;

namespace {

/// The figures of a protocol that name no source: inputs, tables, lengths, settings, rates and
/// times. A stage speaks for its figures, the protocol for all that nothing else is named for.
std::vector<std::string> without_source(const language::Protocol& protocol) {
  std::vector<std::string> out;
  if (any_has(protocol.sources,
              "where nothing else is named: common practice, no published source"))
    return out;
  for (const language::Input& input : protocol.inputs) {
    if (input.source.empty() && !any_has({input.title}, "common practice") &&
        !any_has(protocol.sources, input.name))
      out.push_back("input " + input.name);
  }
  for (const language::Table& table : protocol.tables) {
    if (table.source.empty()) out.push_back("table " + table.name);
  }
  for (const language::Stage& stage : protocol.stages) {
    if (!stage.sources.empty()) continue;
    out.push_back("length of " + stage.name);
    for (const language::Setting& setting : stage.settings)
      out.push_back(setting.name + " of " + stage.name);
    if (!stage.mists.empty()) out.push_back("mist of " + stage.name);
    for (const language::Work& work : stage.works) {
      if (work.rate != language::no_formula || work.time != language::no_formula)
        out.push_back("speed of " + work.title);
    }
  }
  return out;
}

std::vector<std::string> without_source(const std::string& written) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const language::Document document = language::read(sources.add("a.bud", written), diagnostics);
  REQUIRE(document.protocols.size() == 1);
  return without_source(document.protocols.front());
}

}  // namespace

TEST_CASE("No figure of the library is without a source") {
  REQUIRE_FALSE(Shelf::shipped().protocols().empty());
  for (const language::Protocol& protocol : Shelf::shipped().protocols()) {
    CAPTURE(protocol.name);
    CHECK(without_source(protocol) == std::vector<std::string>());
    // The blanket alone would be no library: a publication or a grower stands beside it.
    CHECK(protocol.sources.size() >= 2);
  }
}

TEST_CASE("A figure without a source is found, each kind of it") {
  const std::string stage =
      "  part p\n"
      "  stage s of p {\n"
      "    lasts 3 to 5 days usually 4 days\n"
      "    keep air 20 degC\n"
      "    mist 5 s every 10 min from 08:00 to 18:00\n"
      "    do \"Pick over\" { rate 100 per hour }\n";
  const std::string head =
      "protocol a {\n"
      "  input take = 80 % \"what lives\"\n"
      "  table t (x degC -> days) { 10: 5  20: 3 }\n";
  CHECK(without_source(head + stage + "  }\n}\n") ==
        std::vector<std::string>{"input take", "table t", "length of s", "air of s", "mist of s",
                                 "speed of Pick over"});
  CHECK(without_source(head + stage + "    source \"Smith 1990\"\n  }\n}\n") ==
        std::vector<std::string>{"input take", "table t"});
  CHECK(without_source("protocol a {\n  input take = 80 % \"what lives\" source \"Smith 1990\"\n"
                       "  source \"house\"\n" +
                       stage + "    source \"Smith 1990\"\n  }\n}\n") ==
        std::vector<std::string>());
  const std::string blanket =
      "protocol a {\n"
      "  source \"House practice, where nothing else is named: common practice, no published "
      "source\"\n"
      "  input take = 80 % \"what lives\"\n";
  CHECK(without_source(blanket + stage + "  }\n}\n") == std::vector<std::string>());
}
