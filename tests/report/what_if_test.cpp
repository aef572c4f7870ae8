#include <doctest/doctest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "../words.hpp"
#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "plan/trials/what_if.hpp"
#include "report/differences/comparison.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/table.hpp"
#include "report/report.hpp"
#include "report/sheet/sheet_cells.hpp"
#include "sample_plan.hpp"

namespace budwood::report::test {

namespace {

using budwood::tests::has;
/// A sample plan and the same with changes.
class Compared {
 public:
  explicit Compared(const std::vector<std::string>& changes) {
    sample.add_batch("C1", 80, "2027-05-14");
    sample.add_batch("C2", 40, "2027-06-11");
    tried = plan::what_if(sample.plan(), changes, sources, found);
    REQUIRE(tried.has_value());
    after = plan::make_plan(tried->book, found);
  }

  Comparison both() { return {sample.plan(), after, tried->changes}; }

  std::string orders(Format format, const Filter& filter = {}) {
    std::ostringstream out;
    write_plan_differences(out, both(), filter, format);
    return out.str();
  }
  std::string needs(Format format) {
    std::ostringstream out;
    write_needs_differences(out, both(), plan::total_needs(sample.plan()), plan::total_needs(after),
                            true, format);
    return out.str();
  }
  std::string cells(Format format, const SheetView& view = {}) {
    std::ostringstream out;
    write_sheet_differences(out, both(), view, format);
    return out.str();
  }

  SamplePlan sample;
  text::Sources sources;
  text::Diagnostics found;
  std::optional<plan::WhatIf> tried;
  plan::Plan after;
};

std::string sheet_of(SamplePlan& sample, const SheetView& view, Format format,
                     const Style& style = {}) {
  std::ostringstream out;
  write_sheet(out, sample.plan(), view, format, style);
  return out.str();
}

}  // namespace

TEST_CASE("differences in words and numbers") {
  const units::Unit plants = units::counting_unit("plants");
  const units::Unit celsius = *units::find_unit("degC");
  CHECK(difference_text(date_reading(100), date_reading(93)) == "7 days earlier");
  CHECK(difference_text(date_reading(100), date_reading(101)) == "1 day later");
  CHECK(difference_text(amount_reading(100, plants), amount_reading(80, plants)) == "-20 plants");
  CHECK(difference_text(share_reading(0.84), share_reading(0.7)) == "-14 points");
  CHECK(difference_text(amount_reading(293.15, celsius), amount_reading(295.15, celsius)) ==
        "+2 degC");
  CHECK(difference_text(hours_reading(3600), hours_reading(5400)) == "+30 min");
  // What differs by the rounding of binary fractions alone does not differ.
  CHECK(difference_text(share_reading(0.1 + 0.2), share_reading(0.3)).empty());
  CHECK(difference_text(money_reading(2, "EUR"), money_reading(1.5, "EUR")) == "-0.50");
  CHECK(difference_text(no_reading(), date_reading(3)) == "new");
  CHECK(difference_text(date_reading(3), no_reading()) == "gone");
  CHECK(difference_text(date_reading(3), date_reading(3)).empty());
  CHECK(difference_number(date_reading(100), date_reading(93)) == -7);
  CHECK(*difference_number(share_reading(0.84), share_reading(0.7)) == doctest::Approx(-14));
  CHECK_FALSE(difference_number(no_reading(), date_reading(3)).has_value());
  CHECK(amount_reading(std::nan(""), plants).kind == Reading::Kind::none);
  CHECK_FALSE(differ(amount_reading(0.1 + 0.2, plants), amount_reading(0.3, plants)));
}

TEST_CASE("needs tell which batch loses its dates, so that nothing is counted for it") {
  Compared lost({"C1.rooting.start=2027-05-20"});
  REQUIRE_FALSE(lost.after.batches[0].dated);
  const std::string table = lost.needs(Format::table);
  CHECK(has(table, "C1, ready  Fri 2027-05-14  -"));
  CHECK(has(table, "Batch C1 has no dates after this: nothing is counted for it below."));
  CHECK(has(lost.needs(Format::csv), "batch,C1,,,ready,2027-05-14,,"));
  CHECK_FALSE(has(Compared({"C1.plants=90"}).needs(Format::table), "no dates"));
}

TEST_CASE("a batch that moves a week tells so, work by work, and the others stay") {
  const std::string table = Compared({"C1.ready=1 week earlier"}).orders(Format::table);
  CHECK(table.starts_with("What if at Mill Bank\n"));
  CHECK(has(table, "C1 ready  Fri 2027-05-14  Fri 2027-05-07  7 days earlier"));
  CHECK(has(table, "Cut leaves, lay on the mix"));
  CHECK(has(table, "times, "));
  CHECK(has(table, "The other batch stays as it is.\n"));
  CHECK_FALSE(has(table, "Batch C2"));
}

TEST_CASE("orders that move have one object each") {
  Compared compared({"C1.ready=1 week earlier"});
  const auto json = nlohmann::json::parse(compared.orders(Format::json));
  CHECK(json["site"] == "Mill Bank");
  int moved = 0;
  for (const auto& one : json["differences"]) {
    if (one["about"] != "order") continue;
    ++moved;
    CHECK(one["batch"] == "C1");
    CHECK(one["value"] == "date");
    CHECK(one["before"].get<std::string>().size() == 10);
    CHECK(one["difference"] == -7);
    CHECK(one["unit"] == "days");
  }
  CHECK(moved == 5);  // cut, look three times, pot
}

TEST_CASE("settings that differ are told") {
  SamplePlan sample(R"(protocol plugs "Plugs" {
  input damp = 85 % from 60 % to 95 %
  part plug
  stage sprouting of plug "Sprouting" {
    lasts 9 days
    room propagator
    keep humidity damp
    do "Look" on day 3
  }
})");
  sample.add_batch("P1", 80, "2027-05-14");
  sample.add_batch("P2", 80, "2027-05-23");
  text::Sources sources;
  text::Diagnostics found;
  const auto told = [&](const std::string& change, Format format) {
    const auto tried = plan::what_if(sample.plan(), {change}, sources, found);
    REQUIRE(tried.has_value());
    const plan::Plan after = plan::make_plan(tried->book, found);
    std::ostringstream out;
    write_plan_differences(out, {sample.plan(), after, tried->changes}, {}, format);
    return out.str();
  };
  const std::string damper = told("P1.damp=70 %", Format::table);
  CAPTURE(damper);
  CHECK(has(damper, "Sprouting, day 1  humidity 85 %"));
  CHECK(has(damper, "humidity 70 %"));
  CHECK(has(damper, "The other batch stays as it is.\n"));
  CHECK_FALSE(has(damper, "Nothing in the plan changes"));
  const auto json = nlohmann::json::parse(told("P2.ready=3 weeks later", Format::json));
  bool moved = false;
  for (const auto& one : json["differences"]) {
    if (one["about"] != "setting") continue;
    CHECK(one["batch"] == "P2");
    CHECK(one["name"] == "P2/sprouting/set/1");
    moved = true;
  }
  CHECK(moved);
}

TEST_CASE("what is used by light differs when its start does") {
  SamplePlan sample(R"(protocol plugs "Plugs" {
  input sum = 3 mol/m2 from 1 mol/m2 to 10 mol/m2
  supply feed "Feed" in L
  part plug
  stage growing of plug "Growing" {
    lasts 9 days
    room bench
    keep light_sum 12 mol/m2/day
    do "Feed" on day 3 { time 5 min  use 30 mL feed per plant at sum of light }
  }
})");
  sample.add_batch("P1", 80, "2027-05-14");
  text::Sources sources;
  text::Diagnostics found;
  const auto tried = plan::what_if(sample.plan(), {"P1.sum=6 mol/m2"}, sources, found);
  REQUIRE(tried.has_value());
  const plan::Plan after = plan::make_plan(tried->book, found);
  std::ostringstream out;
  write_plan_differences(out, {sample.plan(), after, tried->changes}, {}, Format::json);
  int fed = 0;
  const auto json = nlohmann::json::parse(out.str());
  for (const auto& one : json["differences"]) {
    if (one["about"] != "order") continue;
    ++fed;
    // Four starts, then two, of 80 times 30 mL.
    CHECK(one["before"] == doctest::Approx(9.6));
    CHECK(one["after"] == doctest::Approx(4.8));
  }
  CHECK(fed == 1);
}

TEST_CASE("a change that makes no difference says so") {
  CHECK(has(Compared({"C1.ready=2027-05-14"}).orders(Format::table),
            "Nothing in the plan changes.\n"));
  CHECK(has(Compared({"C1.ready=2027-05-14"}).needs(Format::table),
            "Nothing that is needed changes.\n"));
  CHECK(has(Compared({"C1.ready=2027-05-14"}).cells(Format::table),
            "None of these values changes.\n"));
}

TEST_CASE("the filter narrows what is compared") {
  Filter filter;
  filter.batch = "C2";
  CHECK(has(Compared({"C1.ready=1 week earlier"}).orders(Format::table, filter),
            "Nothing in the plan changes.\n"));
  filter = {};
  filter.crew = "potting";
  const std::string table = Compared({"C1.ready=1 week earlier"}).orders(Format::table, filter);
  CHECK(has(table, "  Pot "));
  CHECK_FALSE(has(table, "Cut leaves"));
}

TEST_CASE("a conflict of the changed plan is new") {
  const std::string table = Compared({"C1.potting.end=2027-12-24"}).orders(Format::table);
  CHECK(has(table, "new conflict"));
  // That it has no dates any more is said once, not of each work.
  CHECK(has(table, "none, so that it has no work"));
  CHECK_FALSE(has(table, "gone"));
}

TEST_CASE("needs before and after") {
  Compared compared({"C1.plants=50 % more"});
  const auto json = nlohmann::json::parse(compared.needs(Format::json));
  bool found = false;
  for (const auto& one : json["differences"]) {
    if (one["about"] != "supply" || one["name"] != "leaf") continue;
    found = true;
    // 80 and 40 of which 20 % are lost take 100 and 50; 120 take 150.
    CHECK(one["before"] == 150);
    CHECK(one["after"] == 200);
    CHECK(one["difference"] == 50);
    CHECK(one["unit"] == "leaves");
  }
  CHECK(found);
  CHECK(has(compared.needs(Format::table), "Leaf"));
  CHECK(has(compared.needs(Format::csv), "supply,,leaf,Leaf,,150,200,50,leaves\r\n"));
}

TEST_CASE("cells before and after") {
  Compared compared({"C1.plants=50 % more"});
  SheetView view;
  view.patterns = {"rooting.*"};
  CHECK(has(compared.cells(Format::csv, view), "cell,C1,rooting.plants,,,100,150,50,plants\r\n"));
  CHECK_FALSE(has(compared.cells(Format::csv, view), "cell,C2"));
  view.batches = {"C2"};
  CHECK(has(compared.cells(Format::table, view), "None of these values changes."));
}

TEST_CASE("patterns of names") {
  CHECK(fits_pattern("rooting.start", "rooting.*"));
  CHECK(fits_pattern("rooting.start", "*.start"));
  CHECK(fits_pattern("rooting.start", "*t*g.st?rt"));
  CHECK(fits_pattern("rooting.start", "*"));
  CHECK(fits_pattern("", "*"));
  CHECK_FALSE(fits_pattern("rooting.start", "rooting"));
  CHECK_FALSE(fits_pattern("rooting.start", "rooting.start?"));
  CHECK_FALSE(fits_pattern("rooting.start", ""));
  // Would take for ever where every star is tried with every length.
  CHECK_FALSE(fits_pattern(std::string(200, 'a'), "*a*a*a*a*a*a*a*a*a*a*a*a*b"));
}

TEST_CASE("the sheet tells what each value comes from, without colour") {
  SamplePlan sample;
  book::Batch& batch = sample.add_batch("C1", 80, "2027-05-14");
  const calendar::Day day = *calendar::parse_iso_date("2027-04-12");
  batch.pins.push_back({"rooting", book::Pin::Side::start, day, {}, true});
  batch.counted.push_back({"rooting", 90, {}});
  sample.add_batch("C2", 40, "2027-06-11");
  const std::string table = sheet_of(sample, {}, Format::table);
  CHECK(has(table, "rooting.start   Mon 2027-04-12 !"));
  CHECK(has(table, "rooting.left    90 !"));
  CHECK(has(table, "batch.plants    80 *"));
  CHECK(has(table, "! recorded"));
  const std::string csv = sheet_of(sample, {}, Format::csv);
  CHECK(has(csv, "C1,leaf_cuttings,3,rooting,rooting.left,90,plants,recorded,batch\r\n"));
  CHECK(has(csv, "C2,leaf_cuttings,3,rooting,rooting.left,40,plants,,protocol\r\n"));
  CHECK(has(csv, "C1,leaf_cuttings,3,rooting,rooting.start,2027-04-12,,recorded,batch\r\n"));
}

TEST_CASE("a value that is not there is null, with its origin named in the table") {
  SamplePlan sample;
  book::Batch& batch = sample.add_batch("C1", 80, "2027-05-14");
  batch.pins.push_back(
      {"rooting", book::Pin::Side::start, *calendar::parse_iso_date("2027-09-01"), {}, false});
  SheetView view;
  view.patterns = {"rooting.start"};
  const auto json = nlohmann::json::parse(sheet_of(sample, view, Format::json));
  REQUIRE(json["cells"].size() == 1);
  CHECK(json["cells"][0]["value"].is_null());
  CHECK(json["cells"][0]["cell"] == "rooting.start");
  CHECK(has(sheet_of(sample, view, Format::csv), "rooting,rooting.start,,,pinned,batch\r\n"));
  CHECK(has(sheet_of(sample, view, Format::table), "rooting.start  - ^"));
}

TEST_CASE("where a missing value comes from is named below the table") {
  std::string protocol = leaf_cuttings;
  protocol.insert(protocol.find("  supply leaf"),
                  "  input spare = 2 from 0 to 5\n  let sharing = 10 / spare\n");
  SamplePlan sample(protocol);
  book::Batch& batch = sample.add_batch("C1", 80, "2027-05-14");
  batch.set["spare"] = book::Written{{}, "0", *units::parse_quantity("0"), true, 0, 0};
  sample.add_batch("C2", 80, "2027-05-14");
  SheetView view;
  view.patterns = {"sharing", "spare"};
  const std::string table = sheet_of(sample, view, Format::table);
  CHECK(has(table, "C1: there is no value for `sharing` (leaf_cuttings.bud:5)"));
  CHECK_FALSE(has(table, "C2: there is no value"));
  CHECK(has(table, "0 *"));
}

TEST_CASE("batches that do not fit side by side go into further tables") {
  SamplePlan sample;
  for (int i = 0; i < 12; ++i) sample.add_batch("C" + std::to_string(i), 80, "2027-05-14");
  Style style;
  style.width = 70;
  const std::string table = sheet_of(sample, {}, Format::table, style);
  for (const std::string& line : lines_of(table)) CHECK(text::display_width(line) <= 70);
  for (int i = 0; i < 12; ++i) CHECK(has(table, " C" + std::to_string(i)));
}

TEST_CASE("unknown batches and patterns are named") {
  SamplePlan sample;
  sample.add_batch("C1", 80, "2027-05-14");
  SheetView view;
  CHECK(nothing_matches(sample.plan(), view).empty());
  view.patterns = {"roting.start"};
  CHECK(has(nothing_matches(sample.plan(), view), "Did you mean `rooting.start`?"));
  view.patterns.clear();
  view.batches = {"C2"};
  CHECK(has(nothing_matches(sample.plan(), view), "no batch `C2`"));
}

}  // namespace budwood::report::test
