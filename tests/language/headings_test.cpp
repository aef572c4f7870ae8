#include <doctest/doctest.h>

#include <algorithm>
#include "../golden.hpp"
#include "language/language.hpp"
#include "reading.hpp"

using namespace budwood;
using namespace budwood::language;

namespace {

using Strings = std::vector<std::string>;

Headings headings_of(const std::string& text) {
  return headings(text::Source("headings.bud", text));
}

}  // namespace

TEST_CASE("what a source seems to hold is found without reading it") {
  const Headings found = headings_of(
      "# protocol none\nprotocol\n  # between\n one \"a \\\" protocol two\" { note \"rules three\" "
      "}\n"
      "protocol four based # on five\n on six edition 2 { }\nrules seven { }\n");
  CHECK(found.names == Strings{"one", "four", "seven"});
  CHECK(found.bases == Strings{"six"});
}

TEST_CASE("quotes that are never closed and words at the end cost no heading of another line") {
  const Headings found = headings_of("protocol a \"never closed\nprotocol b { }\nprotocol");
  CHECK(found.names == Strings{"a", "b"});
  CHECK(headings_of("protocol p based on").bases == Strings{""});
}

TEST_CASE("every shipped protocol and rule set stands in the headings of its file") {
  text::Sources sources;
  int seen = 0;
  for (const char* folder : {BUDWOOD_PROTOCOLS, BUDWOOD_PROTOCOLS "/rules"}) {
    for (const auto& file : tests::files_in(folder, ".bud")) {
      text::Diagnostics diagnostics;
      const text::Source& source = sources.add(file.string(), tests::content_of(file));
      const Strings names = headings(source).names;
      const Document document = read(source, diagnostics);
      const auto stands = [&](const std::string& name) {
        return std::find(names.begin(), names.end(), method_of(name)) != names.end();
      };
      for (const Protocol& one : document.protocols) CHECK_MESSAGE(stands(one.name), one.name);
      for (const RuleSet& one : document.rule_sets) CHECK_MESSAGE(stands(one.name), one.name);
      seen += static_cast<int>(document.protocols.size() + document.rule_sets.size());
    }
  }
  CHECK(seen > 30);
}

TEST_CASE("what was passed over may hold and mention what stands in it, and nothing else") {
  const text::Source source("p.bud", "protocol p { supply clip \"Clip\" in clips }");
  LeftOut out;
  CHECK_FALSE(out.may_hold("p"));
  out.passed_over.push_back(&source);
  CHECK(out.may_hold("p"));
  CHECK_FALSE(out.may_hold("clip"));
  CHECK(out.may_mention("clip"));
  CHECK_FALSE(out.may_mention("cli"));
  CHECK_FALSE(out.may_mention("peg"));
  out.own_names["peg"] = "clip";
  CHECK(out.may_mention("peg"));
  out.broken.push_back("q");
  CHECK(out.may_hold("q"));
  CHECK_FALSE(out.may_hold("r"));
  CHECK(out.may_mention("r"));  // nobody knows what a broken one says
}
