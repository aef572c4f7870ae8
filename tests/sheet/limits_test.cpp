#include "language/limits.hpp"

#include <array>

#include "sample.hpp"

using namespace budwood;
using namespace budwood::sheet::test;

namespace {

/// A statement that holds a value at `$`, with values that it may not take and one that it may.
struct Place {
  const char* statements;
  std::vector<std::string> wrong;
  std::string right;
};

const std::vector<Place>& places() {
  static const std::vector<Place> all = {
      {"lasts $", {"10001 days", "0 days", "-1 days", "-2 h"}, "9999 days"},
      {"lasts $ to 9 days usually 5 days", {"-1 days", "-30 min"}, "0 days"},
      {"lasts $ above 5 degC keep air 20 degC",
       {"0 degree_days", "-5 degree_days"},
       "50 degree_days"},
      {"lasts $ above 5 degC by single_sine",
       {"0 degree_days", "-5 degree_days"},
       "50 degree_days"},
      {"lasts 5 days yields $", {"0", "10001", "20000", "-1"}, "10000"},
      {"lasts 5 days loses $", {"100 %", "120 %", "-1 %"}, "99 %"},
      {"lasts 5 days minimum $", {"-1 plants", "10000001 plants"}, "1000 plants"},
      {"lasts 5 days room bench space $ trays", {"0", "-2"}, "1"},
      {"lasts 5 days may wait $", {"-1 days", "10001 days"}, "0 days"},
      {"lasts 5 days do \"Water\" { rate $ }", {"0 per hour", "-1 per hour"}, "1 per hour"},
      {"lasts 5 days do \"Water\" { time $ }", {"0 min", "-1 min"}, "1 min"},
      {"lasts 5 days do \"Water\" { time 1 min setup $ }", {"-1 min"}, "0 min"},
      {"lasts 5 days do \"Water\" { time 1 min people $ }", {"0", "20000", "-1"}, "10000"},
      {"lasts 5 days room bench do \"Spray\" { time 1 min no entry for $ after }",
       {"0 h", "61 days", "-1 h"},
       "60 days"},
      {"lasts 5 days do \"Pot\" { time 1 min use ($) mix each }", {"0 L", "-1 L"}, "1 L"},
      {"lasts 5 days do \"Pot\" { time 1 min use 1 L mix per $ }",
       {"0 plants", "-1 plants"},
       "1 plants"},
      {"lasts 5 days keep light 100 umol/m2/s for $", {"0 h", "25 h", "-1 h"}, "24 h"},
      {"lasts 5 days mist 10 s every $", {"0 s", "25 h"}, "24 h"},
      {"lasts 5 days mist $ every 24 h", {"0 s", "-1 s"}, "10 s"},
      {"lasts 50 degree_days above 5 degC keep air $", {"-100 degC", "120 degC"}, "20 degC"},
  };
  return all;
}

/// What is wrong with a protocol, by its text or with the usual inputs.
std::string findings(const std::string& statements) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("sample.bud", protocol(statements));
  auto protocols = language::read(source, diagnostics).protocols;
  if (protocols.size() == 1) {
    const auto t = sheet::compile(std::move(protocols.front()), diagnostics);
    if (t != nullptr) sheet::try_out(t, diagnostics);
  }
  return listed(diagnostics);
}

/// Whether the value is refused as out of its range, and nothing else is wrong.
bool refused(const std::string& declared, const Place& place, const std::string& value) {
  std::string statements = place.statements;
  statements.replace(statements.find('$'), 1, value);
  const std::string found =
      findings("supply mix in L\n" + declared + "\nstage root of plant { " + statements + " }\n");
  INFO(statements, " with ", declared, ": ", found);
  const bool out = found.find("error out-of-range") != std::string::npos;
  CHECK(out == (found.find("error") != std::string::npos));
  return out;
}

}  // namespace

TEST_CASE("a value is judged alike whether it is written, named, or set for a batch") {
  for (const Place& place : places()) {
    for (const std::string& wrong : place.wrong) {
      CAPTURE(place.statements);
      CAPTURE(wrong);
      CHECK(refused("", place, wrong));
      CHECK(refused("let v = " + wrong, place, "v"));
      CHECK(refused("input v = " + wrong, place, "v"));
      CHECK(refused("let v = " + wrong, place, "(if 1 < 2 then v else v)"));
    }
    CHECK_FALSE(refused("", place, place.right));
    CHECK_FALSE(refused("let v = " + place.right, place, "v"));
    CHECK_FALSE(refused("input v = " + place.right, place, "v"));
  }
}

TEST_CASE("a stage that comes after another comes 0 to 10 000 days after it") {
  const auto after = [](const std::string& declared, const std::string& value) {
    return findings(declared +
                    "\nstage one of plant { lasts 5 days }\n"
                    "stage two of plant { after one by " +
                    value + " lasts 5 days }\n")
               .find("error out-of-range") != std::string::npos;
  };
  for (const char* wrong : {"10001 days", "-1 days", "-2 h"}) {
    CHECK(after("", wrong));
    CHECK(after(std::string("let v = ") + wrong, "v"));
  }
  CHECK_FALSE(after("", "3 days"));
  CHECK_FALSE(after("let v = 3 days", "v"));
}
