// The standard layout: what it looks like, that it changes nothing that is meant, and that laying
// out twice is laying out once.

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "language/layout/tidy.hpp"
#include "language/parse/parse.hpp"
#include "language/tree/canonical.hpp"

using namespace budwood;

namespace {

namespace fs = std::filesystem;

std::string content(const fs::path& file) {
  std::ifstream in(file);
  std::stringstream out;
  out << in.rdbuf();
  return out.str();
}

std::optional<std::string> tidied(const std::string& text) {
  const text::Source source("test.bud", text);
  text::Diagnostics unheard;
  return language::tidy(source, unheard);
}

/// The fingerprints of all that stands in a text.
std::vector<std::string> meanings(const std::string& text) {
  const text::Source source("test.bud", text);
  text::Diagnostics unheard;
  const language::syntax::File file = language::parse(source, unheard);
  std::vector<std::string> out;
  for (const auto& one : file.protocols) {
    out.push_back(language::fingerprint(one));
    for (const auto& variant : one.variants) out.push_back(language::canonical_text(variant));
  }
  for (const auto& one : file.rule_sets) out.push_back(language::fingerprint(one));
  return out;
}

/// The comments of a text in their order.
std::vector<std::string> comments(const std::string& text) {
  std::vector<std::string> out;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    bool quoted = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
      if (line[i] == '"') quoted = !quoted;
      if (quoted && line[i] == '\\') ++i;
      if (line[i] != '#' || quoted) continue;
      out.push_back(line.substr(i, line.find_last_not_of(" \t\r") - i + 1));
      break;
    }
  }
  return out;
}

std::vector<fs::path> all_protocols() {
  std::vector<fs::path> out;
  for (const char* folder : {BUDWOOD_PROTOCOLS, BUDWOOD_EXAMPLES, BUDWOOD_LANGUAGE_TESTS}) {
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
      if (entry.path().extension() == ".bud") out.push_back(entry.path());
    }
  }
  std::sort(out.begin(), out.end());
  return out;
}

/// Other white space between the words of a text, line breaks only where there are some.
std::string stirred(const std::string& text, std::mt19937& chance) {
  std::string out;
  bool quoted = false, comment = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '\n') quoted = comment = false;
    if (c == '"' && !comment) quoted = !quoted;
    if (c == '#' && !quoted) comment = true;
    if (quoted && c == '\\' && i + 1 < text.size()) {
      out += c;
      out += text[++i];
      continue;
    }
    if (c == ' ' && !quoted && !comment) {
      out += std::string(1 + chance() % 3, chance() % 4 == 0 ? '\t' : ' ');
    } else if (c == '\n') {
      out += chance() % 5 == 0 ? "  \n\n" : chance() % 4 == 0 ? " \r\n" : "\n";
      out += std::string(chance() % 4, ' ');
    } else {
      out += c;
    }
  }
  return out;
}

}  // namespace

TEST_CASE("the standard layout") {
  const std::string written = R"(# A note on top.
protocol  x   "X"{
edition 2
  input  a=5 %   from 1 % to 9 % "short"   # first
  input longer = 120 per hour "speed" # second


  supply tape "Tape" in m pack 60 m hazard dust
  supply pot "Pot" in pots reused
  part p "P"
  table t ( x degC->days ) { 1 : 2   3:4
    5: -6 }
  # about the stage
  stage s of p { lasts 2*( 3 days+1 day ) to 14days usually 9   days
    }
  stage u of p {
    lasts 1 day   room bench
    keep light 120   umol/m2/s for 12 h   # lamp

    do "Cut" on day 1,last day{ time 20 min  use ( 1+2 ) tape  use 1 pot each }
    do "Pot" on day 1 {
      time 5 min

      crew a }
    # the last word
  }
  require u.end <= s.start+3 weeks
else "Too late."
}
)";
  const std::string wanted = R"(# A note on top.
protocol x "X" {
  edition 2
  input a      = 5 % from 1 % to 9 % "short"  # first
  input longer = 120 per hour        "speed"  # second

  supply tape "Tape" in m     pack 60 m  hazard dust
  supply pot  "Pot"  in pots  reused
  part p "P"
  table t(x degC -> days) {
    1: 2   3: 4
    5: -6
  }

  # about the stage
  stage s of p {
    lasts 2 * (3 days + 1 day) to 14 days usually 9 days
  }

  stage u of p {
    lasts 1 day
    room bench
    keep light 120 umol/m2/s for 12 h  # lamp

    do "Cut" on day 1, last day { time 20 min  use (1 + 2) tape  use 1 pot each }
    do "Pot" on day 1 {
      time 5 min

      crew a
    }
    # the last word
  }

  require u.end <= s.start + 3 weeks
      else "Too late."
}
)";
  const auto out = tidied(written);
  REQUIRE(out);
  CHECK(*out == wanted);
}

TEST_CASE("what cannot be read is left alone") {
  CHECK_FALSE(tidied("protocol x { edition }"));
  CHECK_FALSE(tidied("protocol x \"X\" { part p"));
  // A mistake of meaning is none of its business.
  CHECK(tidied("protocol x \"X\" { stage s of nothing { lasts 3 litres } }"));
}

TEST_CASE("every protocol keeps its meaning and its comments, and is laid out once") {
  std::mt19937 chance(24);
  std::size_t seen = 0;
  for (const fs::path& file : all_protocols()) {
    const std::string text = content(file);
    const auto once = tidied(text);
    if (!once) continue;
    ++seen;
    CAPTURE(file.string());
    CHECK(meanings(*once) == meanings(text));
    CHECK(comments(*once) == comments(text));
    CHECK(tidied(*once) == once);
    const std::string other = stirred(text, chance);
    const auto again = tidied(other);
    REQUIRE(again);
    CHECK(meanings(*again) == meanings(text));
    CHECK(tidied(*again) == again);
  }
  CHECK(seen > 50);
}

TEST_CASE("what ships is tidy") {
  for (const char* folder : {BUDWOOD_PROTOCOLS, BUDWOOD_EXAMPLES}) {
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
      if (entry.path().extension() != ".bud") continue;
      const std::string text = content(entry.path());
      const auto out = tidied(text);
      if (!out) continue;  // an example of mistakes
      CAPTURE(entry.path().string());
      CHECK(*out == text);
    }
  }
}
