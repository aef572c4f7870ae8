#include "language/rules/rules.hpp"
#include "language/language.hpp"
#include "sample.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"

/// Rule sets held against protocols, at check time.
using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

constexpr const char* two_parts = R"(protocol sample "Sample" {
  WAIVERS
  input warm = 24 degC from 10 degC to 30 degC
  supply tape in m
  supply spirit in mL hazard flammable
  part scion "Scion"
  part stock "Stock"
  part plant "Plant"
  stage sow_scion of scion "Scion sowing" { lasts 5 days usually 5 days room warm_room
    keep humidity 90 % keep air warm  do "Sow" { tagged sowing record sown in seeds } }
  stage sow_stock of stock "Stock sowing" { lasts 4 days  keep air 20 degC  do "Sow" on day 2 { tagged sowing } }
  stage graft joins scion with stock into plant "Grafting" { lasts 1 day
    do "Wipe" at start { tagged sanitation use 5 mL spirit caution "No flame." }
    do "Cut and tie" on day 1 { tagged cutting, grafting crew grafters rate 50 per hour use 0.2 m tape each } }
  stage heal of plant "Healing" { lasts 6 to 9 days usually 7 days may wait 2 days room chamber
    keep humidity 95 % until day 3 taper humidity 95 % to 70 % from day 4 to last day keep air 26 degC
    mist 10 s every 30 min until day 5
    do "Look" daily { time 10 min } do "Count" on day 6 { record standing in plants tagged counting } }
  stage bench of plant "Bench" { lasts 10 days  keep humidity 50 %  do "Cut the top" on day 3 { tagged cutting } }
})";

/// "error name message" for each finding of a rule set, by place; a line each.
std::string found(const std::string& rules, const std::string& waivers = "") {
  std::string content = two_parts;
  content.replace(content.find("WAIVERS"), 7, waivers);
  text::Sources sources;
  text::Diagnostics diagnostics;
  auto document = language::read(sources.add("sample.bud", content), diagnostics);
  auto set = language::read(
      sources.add("rules.bud", "rules house \"House rules\" {\n" + rules + "\n}"), diagnostics);
  const std::string problems = listed(diagnostics);
  INFO(problems);
  REQUIRE(document.protocols.size() == 1);
  REQUIRE(set.rule_sets.size() == 1);
  language::follow(document.protocols.front(), {&set.rule_sets.front()}, diagnostics);
  const auto t = compile(std::move(document.protocols.front()), diagnostics);
  REQUIRE(t != nullptr);
  try_out(t, diagnostics);
  std::string out;
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    const char* severities[] = {"error ", "warning ", "note "};
    out += severities[static_cast<int>(d.severity)] + d.code + " " + d.message + "\n";
  }
  return out;
}

std::string rule(const std::string& body) {
  return "rule r \"R\" { " + body + " }";
}

/// Titles that a loop goes through.
std::string all(const std::string& selection, const std::string& variable) {
  return found(rule("for each " + selection + " { advise 1 > 2 else \"{" + variable + "}\" }"));
}

std::string warnings(std::initializer_list<const char*> titles) {
  std::string out;
  for (const char* title : titles) out += std::string("warning house.r ") + title + "\n";
  return out;
}

}  // namespace

TEST_CASE("rules go through stages, work, parts and steps") {
  CHECK(all("part p", "p.title") == warnings({"Scion", "Stock", "Plant"}));
  CHECK(all("stage s", "s") ==
        warnings({"Scion sowing", "Stock sowing", "Grafting", "Healing", "Bench"}));
  CHECK(all("work w", "w.title") ==
        warnings({"Sow", "Sow", "Wipe", "Cut and tie", "Look", "Count", "Cut the top"}));
  // A join follows both of the stages whose plants it takes.
  CHECK(all("step from a to b", "a.name") == warnings({"sow_scion", "sow_stock", "graft", "heal"}));
}

TEST_CASE("selections: tags, places, order, conditions") {
  CHECK(all("work w tagged cutting", "w") == warnings({"Cut and tie", "Cut the top"}));
  CHECK(all("stage s tagged sowing", "s") == warnings({"Scion sowing", "Stock sowing"}));
  CHECK(all("part p tagged cutting", "p") == warnings({"Plant"}));
  CHECK(found(rule("for each part p { for each stage s of p where s has mist { advise 1 > 2 else "
                   "\"{p}: {s}\" } }")) == warnings({"Plant: Healing"}));
  CHECK(all("work w where w has crew", "w.crew") == warnings({"grafters"}));
  CHECK(all("work w where w has hazard flammable", "w") == warnings({"Wipe"}));
  CHECK(all("work w where w has record", "w") == warnings({"Sow", "Count"}));
  CHECK(all("work w where w has turns", "w") == warnings({"Look"}));
  CHECK(all("stage s where s has room and s has humidity", "s.room") ==
        warnings({"warm_room", "chamber"}));
  CHECK(all("stage s where s has join or s has range", "s") == warnings({"Grafting", "Healing"}));
  CHECK(all("stage s where s has no vpd", "s") == warnings({"Stock sowing", "Grafting", "Bench"}));
  CHECK(all("stage s where some work tagged grafting before s", "s") ==
        warnings({"Healing", "Bench"}));
  CHECK(all("stage s where no work tagged cutting after s", "s") == warnings({"Bench"}));
  CHECK(all("work w tagged cutting where some work tagged sanitation in w.stage before w", "w") ==
        warnings({"Cut and tie"}));
  CHECK(all("stage s where (count of work in s) = 2", "s") == warnings({"Grafting", "Healing"}));
  CHECK(all("part p where every stage s of p meets s has humidity", "p") == warnings({"Scion"}));
  CHECK(all("part p where every stage s of p where s has room meets s has humidity", "p") ==
        warnings({"Scion", "Stock", "Plant"}));
  CHECK(all("stage s where some stage t after s where t has mist", "s") ==
        warnings({"Scion sowing", "Stock sowing", "Grafting"}));
}

TEST_CASE("conditions on the climate are worked out, and say nothing where nothing is set") {
  CHECK(found(rule("for each step from a to b { advise b.humidity.first >= a.humidity.last - 15 % "
                   "else \"{a.humidity.last} to {b.humidity.first}\" }")) ==
        warnings({"70 % to 50 %"}));
  CHECK(found(rule("for each stage s { require s.air.highest <= 25 degC else \"{s}: "
                   "{s.air.highest}\" }")) == "error house.r Healing: 26 degC\n");
  CHECK(
      found(rule("for each stage s where s has mist on day 1 { advise s has mist on last day else "
                 "\"{s}\" }")) == warnings({"Healing"}));
  CHECK(
      found(rule("for each stage s where s.humidity.highest >= 90 % { advise s.humidity.last <= 80 "
                 "% else \"{s}\" }")) == warnings({"Scion sowing"}));
  // One side decides although the other says nothing.
  CHECK(found(rule("for each stage s { advise s has work or s.co2.first > 1 ppm else \"{s}\" }")) ==
        "");
  CHECK(found(rule("for each stage s { advise s.co2.first > 1 ppm and 1 < 2 else \"{s}\" }")) ==
        "");
}

TEST_CASE("a waiver lets a finding pass as a note, in all stages or in one") {
  const std::string hot =
      rule("for each stage s { advise s.air.highest <= 22 degC else \"{s} is warm\" }");
  CHECK(found(hot) == warnings({"Scion sowing is warm", "Healing is warm"}));
  CHECK(found(hot, "waive r \"the house is\"") ==
        "note house.r Waived (the house is): Scion sowing is warm\n"
        "note house.r Waived (the house is): Healing is warm\n");
  CHECK(found(hot, "waive house.r \"it is\"").starts_with("note"));
  CHECK(found(hot, "waive other.r \"it is\"").find("warning unknown-rule") != std::string::npos);
  CHECK(found(hot, "waive rr \"it is\"").find("warning unknown-rule") != std::string::npos);
}

TEST_CASE("what the protocol alone does not decide is left to batches") {
  // Met or not by the number ordered.
  CHECK(found(rule("for each stage s { require s.plants <= 5000 else \"Too many in {s}.\" }")) ==
        "");
  CHECK(found(rule("for each stage s { require s.plants <= 0.5 else \"{s}\" }")).find("error") ==
        0);
  CHECK(found(rule("require batch.ready >= 2100-01-01 else \"Too early.\"")) == "");
}

TEST_CASE("what a stage does not set is not counted, and one side decides") {
  // Stock sowing, grafting and bench set no humidity or no air; they are in nobody's way.
  CHECK(
      found(rule("require (count of stage s where s.humidity.highest >= 90 %) <= 1 else \"x\"")) ==
      "error house.r x\n");
  CHECK(found(rule("require every stage s meets s.humidity.highest <= 80 % else \"x\"")) ==
        "error house.r x\n");
  CHECK(found(rule("require every stage s meets s.humidity.highest <= 96 % else \"x\"")) == "");
  CHECK(found(rule("require some stage t where t.humidity.last <= 55 % else \"x\"")) == "");
  CHECK(found(rule("require no stage t where t.humidity.last <= 55 % else \"x\"")) ==
        "error house.r x\n");
  CHECK(found(rule(
            "for each stage s { advise s.humidity.highest <= 60 % and s.air.highest <= 10 degC "
            "else \"{s}\" }")) == warnings({"Scion sowing", "Stock sowing", "Healing"}));
}

TEST_CASE("work that is done several times is after something up to its last time") {
  // "Look" is daily from day 1; "Count" comes on day 6.
  CHECK(all("work w where some work x after w where x has turns", "w.title") ==
        warnings({"Sow", "Sow", "Wipe", "Cut and tie", "Count"}));
  CHECK(all("work w where some work x before w where x has turns", "w.title") ==
        warnings({"Count", "Cut the top"}));
  CHECK(all("work w where w has hazard", "w.title") ==
        warnings({"Wipe", "Cut and tie", "Cut the top"}));
}

TEST_CASE("differences, lets and dates in messages") {
  const auto said = [](const std::string& message) {
    return found(
        rule("for each stage s tagged counting { advise 1 > 2 else \"" + message + "\" }"));
  };
  CHECK(said("{s.air.first}, {s.air.largest_rise}, {s.vpd.first}, {s.humidity.largest_fall}") ==
        "warning house.r 26 degC, 0 degC, 0.168 kPa, 8.33 %\n");
  CHECK(said("{s.start}") == "warning house.r (a day of the batch)\n");
}
