#include <doctest/doctest.h>

#include "language/model.hpp"
#include "reading.hpp"

using namespace reading;

namespace {

/// The type of a formula in words; "-" when it is a mistake.
std::string type_of(const std::string& formula, const std::string& declarations = "") {
  const Reading read(with(declarations + "\nlet asked = " + formula));
  if (read.protocols().empty()) return "-";
  return describe(read.protocol().lets.back().type);
}

/// The value of a formula that is a constant, in base units.
double value_of(const std::string& formula) {
  const Reading read(with("let asked = " + formula));
  const Protocol& protocol = read.protocol();
  const Node& node = protocol.node(protocol.lets.back().value);
  REQUIRE(node.kind == Node::Kind::constant);
  return node.value;
}

const std::string some =
    "input warm = 20 degC\ninput rise = 5 degC_difference\ninput take = 80 %\n"
    "input ordered = 500 plants\ninput many = 3\ninput long = 4 days\n";

}  // namespace

TEST_CASE("written quantities become base units") {
  CHECK(value_of("20 degC") == doctest::Approx(293.15));
  CHECK(value_of("-2 degC") == doctest::Approx(271.15));
  CHECK(value_of("68 degF") == doctest::Approx(293.15));
  CHECK(value_of("5 degC_difference") == doctest::Approx(5));
  CHECK(value_of("85 %") == doctest::Approx(0.85));
  CHECK(value_of("2 weeks") == doctest::Approx(14 * 86400));
  CHECK(value_of("90 per hour") == doctest::Approx(90.0 / 3600));
  CHECK(value_of("120 umol/m2/s") == doctest::Approx(120e-6));
  CHECK(value_of("120 \u00B5mol/m\u00B2/s") == doctest::Approx(120e-6));  // micro sign
  CHECK(value_of("120 \u03BCmol/m\u00B2/s") == doctest::Approx(120e-6));  // Greek mu
  CHECK(value_of("20 \u00B0C") == doctest::Approx(293.15));
  // Days since 1970-01-01: 2000-03-01 is day 11017 (ISO 8601 calendar, 30 years with 7 leap days
  // are 10957 days to 2000-01-01, then 31 + 29).
  CHECK(value_of("2000-03-01") == doctest::Approx(11017));
}

TEST_CASE("an absolute temperature is not a difference") {
  CHECK(type_of("warm - 15 degC", some) == "a difference of temperatures");
  CHECK(type_of("warm + rise", some) == "a temperature");
  CHECK(type_of("rise + warm", some) == "a temperature");
  CHECK(type_of("warm - rise", some) == "a temperature");
  CHECK(type_of("rise * 2", some) == "a difference of temperatures");
  CHECK(type_of("(warm - 10 degC) / rise", some) == "a share or plain number");
  CHECK(type_of("warm + warm", some) == "-");
  CHECK(type_of("rise - warm", some) == "-");
  CHECK(type_of("warm + 5", some) == "-");
  CHECK(type_of("warm * 2", some) == "-");
  CHECK(type_of("-warm", some) == "-");
  CHECK(type_of("warm > rise", some) == "-");
  CHECK(type_of("max(warm, rise)", some) == "-");
  CHECK(type_of("max(warm, 5 degC)", some) == "a temperature");
  CHECK(type_of("-300 degC") == "-");
}

TEST_CASE("a share is not a count, but a number without a unit can be either") {
  CHECK(type_of("take * ordered", some) == "a count");
  CHECK(type_of("ordered + 3", some) == "a count");
  CHECK(type_of("3 + ordered", some) == "a count");
  CHECK(type_of("take + 3", some) == "a share or plain number");
  CHECK(type_of("many + ordered", some) == "a count");
  CHECK(type_of("ordered > 100", some) == "a condition");
  CHECK(type_of("ordered + take", some) == "-");
  CHECK(type_of("ordered > take", some) == "-");
  CHECK(type_of("max(3, ordered, take)", some) == "-");
  CHECK(type_of("ordered / (40 plants)", some) == "a share or plain number");
  CHECK(type_of("if 1 < 2 then 3 else ordered", some) == "a count");
  // A product with a share is no longer loose.
  CHECK(type_of("2 * take + ordered", some) == "-");
}

TEST_CASE("dates take lengths of time and give them") {
  CHECK(type_of("2027-03-14 + long", some) == "a date");
  CHECK(type_of("long + 2027-03-14", some) == "a date");
  CHECK(type_of("2027-03-14 - 2 weeks") == "a date");
  CHECK(type_of("2027-03-14 - 2027-01-01") == "a length of time");
  CHECK(type_of("stand.end - stand.start") == "a length of time");
  CHECK(type_of("stand.end > 2027-03-14") == "a condition");
  CHECK(type_of("2027-03-14 + 5") == "-");
  CHECK(type_of("2027-03-14 + 2027-03-14") == "-");
  CHECK(type_of("long - 2027-03-14", some) == "-");
  CHECK(type_of("2027-03-14 * 2") == "-");
}

TEST_CASE("units multiply, divide and are raised") {
  CHECK(type_of("3 m * 2 m / (1 m2)") == "a share or plain number");
  CHECK(type_of("5 L/m2 * 2 m2") == "a volume");
  CHECK(type_of("(2 m) ^ 2 + 1 ha") == "an area");
  CHECK(type_of("sqrt(4 m2)") == "a length");
  CHECK(type_of("(2 m) ^ 0.5") == "-");
  CHECK(type_of("(2 m) ^ many", some) == "-");
  CHECK(type_of("many ^ many", some) == "a plain number");
  CHECK(type_of("sqrt(2 m)") == "-");
  CHECK(type_of("3 days + 2 L") == "-");
}

TEST_CASE("functions take what they are for") {
  CHECK(type_of("ceil(ordered / 60)", some) == "a count");
  CHECK(type_of("round(2.5)") == "a plain number");
  CHECK(type_of("round(2.5 m)") == "-");
  CHECK(type_of("exp(ln(many))", some) == "a share or plain number");
  CHECK(type_of("ln(3 days)") == "-");
  CHECK(type_of("abs(rise)", some) == "a difference of temperatures");
  CHECK(type_of("vpd(warm, take) < 1 kPa", some) == "a condition");
  CHECK(type_of("vpd(rise, take)", some) == "-");
  CHECK(type_of("light_sum(200 umol/m2/s, 14 h) > 5 mol/m2/day") == "a condition");
  CHECK(type_of("min(1)") == "-");
  CHECK(type_of("sqrt(1, 2)") == "-");
}

TEST_CASE("tables are looked up with their own units") {
  const std::string table = some + "table t(heat degC -> days) { 10: 20  20: 10 }\n";
  CHECK(type_of("t(warm)", table) == "a length of time");
  CHECK(type_of("t(rise)", table) == "-");
  CHECK(type_of("t(5)", table) == "-");
  CHECK(type_of("t(warm, warm)", table) == "-");
  const Reading read(with("table t(heat degC -> days) { -5: 20  20: 10.5 }\nlet a = t(10 degC)"));
  const language::Table& t = read.protocol().tables.front();
  CHECK(t.at == std::vector<double>{268.15, 293.15});
  CHECK(t.values == std::vector<double>{20 * 86400.0, 10.5 * 86400});
}

TEST_CASE("conditions join and choose") {
  CHECK(type_of("1 < 2 and not 3 < 4 or 5 = 6") == "a condition");
  CHECK(type_of("3 between 1 and 5") == "a condition");
  CHECK(type_of("3 days between 1 week and 5") == "-");
  CHECK(type_of("3 and 1 < 2") == "-");
  CHECK(type_of("if 3 then 1 else 2") == "-");
  CHECK(type_of("if 1 < 2 then 3 L else 2 kg") == "-");
  CHECK(type_of("(1 < 2) = (3 < 4)") == "-");
}

TEST_CASE("`between` inside `between` is bounded, as each doubles the work") {
  const auto nested = [](int levels) {
    std::string formula = "many";
    for (int i = 0; i < levels; ++i) formula = "if " + formula + " between 1 and 2 then 1 else 2";
    // The brackets put each inside the next.
    std::string out = "many";
    for (int i = 0; i < levels; ++i) out = "(if " + out + " between 1 and 2 then 1 else 2)";
    return out;
  };
  CHECK(type_of(nested(4), some) == "a plain number");
  CHECK(type_of(nested(5), some) == "-");
}

TEST_CASE("children come before their parents") {
  const Reading read(with(some + "let a = if take > 3 % then max(1, many) * 2 else many - 1"));
  const Protocol& protocol = read.protocol();
  for (std::size_t i = 0; i < protocol.nodes.size(); ++i) {
    for (const FormulaId child : protocol.nodes[i].children) {
      CHECK(child < static_cast<FormulaId>(i));
    }
  }
}

TEST_CASE("a formula may hold a thousand values, not more") {
  std::string sum = "1";
  for (int i = 1; i < 1000; ++i) sum += " + 1";
  CHECK(type_of(sum) == "a plain number");
  CHECK(Reading(with("let a = " + sum + " + 1")).errors() == Codes{"too-long"});
}
