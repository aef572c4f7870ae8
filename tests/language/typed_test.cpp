#include <algorithm>
#include <fstream>
#include <sstream>

#include "reading.hpp"

/// What growers type: each line of typed.txt says where it stands, what is typed, and words that
/// the hint must hold; a dash where it is read as it is meant. One slip is one message.
namespace {

using namespace reading;

const std::string frame = R"(protocol p "P" {
  input take = 85 % from 40 % to 100 %
  supply clip "Clip" in clips reused
  supply mix "Mix" in L
  supply alcohol "Alcohol" in mL
  supply tray "Tray" in trays reused
  part plant "Plant"
  observe callus in %
  DECLARATION
  stage root of plant "Rooting" {
    LENGTH
    room bench
    STAGE
    do "Stick" on day 1 {
      TIME
      use 1 clip each
      use 1 tray per 50
      use 0.2 L mix each
      use 5 mL alcohol
      record callus
      WORK
    }
  }
  stage grow of plant { lasts 5 days  loses 1 - take  do "Look" on day 1 { time 5 min } }
}
)";

struct Typed {
  std::string where, text, hint;
};

std::vector<Typed> all_typed() {
  std::ifstream file(std::string(BUDWOOD_LANGUAGE_TESTS) + "/typed.txt");
  std::vector<Typed> out;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line.front() == '#') continue;
    const std::size_t first = line.find(" | ");
    const std::size_t last = line.rfind(" | ");
    REQUIRE_MESSAGE((first != std::string::npos && first < last), line);
    out.push_back(
        {line.substr(0, first), line.substr(first + 3, last - first - 3), line.substr(last + 3)});
  }
  return out;
}

/// The frame with what is typed in its place.
std::string written(const Typed& typed) {
  std::string out = frame;
  const std::pair<const char*, const char*> places[] = {
      {"DECLARATION", ""},
      {"LENGTH", "lasts 14 to 26 days usually 18 days"},
      {"STAGE", ""},
      {"TIME", "rate 90 per hour"},
      {"WORK", ""}};
  for (const auto& [place, usual] : places) {
    const std::size_t at = out.find(place);
    out.replace(at, std::string(place).size(), typed.where == place ? typed.text : usual);
  }
  return out;
}

}  // namespace

TEST_CASE("what growers type is told once, with a hint that helps") {
  const std::vector<Typed> typed = all_typed();
  CHECK(typed.size() >= 100);
  for (const Typed& one : typed) {
    CAPTURE(one.where);
    CAPTURE(one.text);
    const Reading read(written(one));
    const std::vector<text::Diagnostic> found = read.diagnostics().sorted();
    std::string told;
    for (const text::Diagnostic& d : found) told += d.message + " " + d.advice + "\n";
    CAPTURE(told);
    if (one.hint == "-") {
      CHECK(found.empty());
      continue;
    }
    REQUIRE(!found.empty());
    CHECK(found.size() == 1);
    CHECK((found.front().message + " " + found.front().advice).find(one.hint) != std::string::npos);
  }
}

TEST_CASE("what a misspelt declaration would have declared is not missed where it is used") {
  for (const auto& [from, to] : std::initializer_list<std::pair<const char*, const char*>>{
           {"supply clip", "suply clip"},
           {"input take", "inpt take"},
           {"observe callus", "obsrve callus"},
           {"part plant", "prt plant"}}) {
    CAPTURE(to);
    std::string text = written({"", "", ""});
    text.replace(text.find(from), std::string(from).size(), to);
    CHECK(Reading(text).diagnostics().sorted().size() == 1);
  }
}

TEST_CASE("a record that nearly has the name of what nobody records is told") {
  std::string text = written({"", "", ""});
  text.replace(text.find("record callus"), 13, "record calus");
  const std::vector<text::Diagnostic> found = Reading(text).diagnostics().sorted();
  CHECK(std::any_of(found.begin(), found.end(), [](const text::Diagnostic& d) {
    return d.advice == "Did you mean `callus`?";
  }));
}
