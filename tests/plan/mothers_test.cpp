#include "plan/stock/mothers.hpp"

#include "plan/needs/needs.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;
using calendar::iso_date;

namespace {

/// Stuck three weeks before they are ready, without losses.
const std::string cuttings = R"(protocol cuttings "Cuttings" {
  supply shoot "Shoot" in shoots
  part plant "Cutting"
  stage rooting of plant {
    lasts 21 days
    do "Take and stick" on day 1 { rate 200 per hour  use 1 shoot each }
  }
})";

calendar::Day the_day(const std::string& text) {
  return calendar::parse_iso_date(text).value();
}

class MotherBook : public Planned {
 public:
  MotherBook() : Planned(cuttings) {}

  book::Mothers& mothers(const std::string& name, int plants, int each, int every,
                         const std::string& from) {
    book::Mothers one;
    one.of.value = "shoot";
    one.plants = plants;
    one.gives = quantity(std::to_string(each) + " shoots");
    one.every = every;
    one.from = {the_day(from), {}};
    return site().mothers[name] = one;
  }

  /// "A 300 fuchsia, B 100 -"
  std::string takings() {
    std::string out;
    const Plan& made = plan();
    for (const MotherTaking& one : made.mothers.takings) {
      out += (out.empty() ? "" : ", ") + made.facts_of(made.batches[one.batch]).id.value + " " +
             units::format_number(one.amount) + " " + (one.mothers.empty() ? "-" : one.mothers);
    }
    return out;
  }
  std::string weeks() {
    std::string out;
    for (const MotherWeek& one : mother_weeks(plan())) {
      out += calendar::iso_week_text(one.monday) + " " + units::format_number(one.there) + " " +
             units::format_number(one.taken) + " " + units::format_number(one.missing) + "\n";
    }
    return out;
  }
  std::string conflicts() {
    std::string out;
    for (const Conflict& one : plan().conflicts) {
      out += one.code + " " + one.message + "\n";
      for (const auto& fact : one.facts) out += "  " + fact.text + "\n";
      for (const Repair& repair : one.repairs) out += "  > " + repair.text + "\n";
    }
    return out;
  }
};

}  // namespace

TEST_CASE("mothers give in rounds, and what is left of a round is gone with the next") {
  MotherBook book;
  // 40 plants with 12 shoots: 480 each three weeks, from 1, 22 March, 12 April on.
  book.mothers("fuchsia", 40, 12, 21, "2027-03-01");
  book.add("A", 300, "2027-03-22");  // stuck on Monday 1 March
  book.add("B", 150, "2027-03-29");  // 8 March, the same round
  book.add("C", 480, "2027-04-12");  // 22 March, the next one
  CHECK(book.takings() == "A 300 fuchsia, B 150 fuchsia, C 480 fuchsia");
  CHECK(book.weeks() ==
        "2027-W09 480 300 0\n2027-W10 180 150 0\n2027-W11 30 0 0\n"
        "2027-W12 480 480 0\n");
  CHECK(book.conflicts().empty());
  const Plan& plan = book.plan();
  CHECK(describe(plan, plan.orders[0]).supplies[0].lot == "fuchsia");
  for (const SupplyNeed& need : total_needs(plan).supplies) {
    CHECK_FALSE(need.purchase.has_value());
  }
}

TEST_CASE("what mothers lack is told by week, with what to do") {
  MotherBook book;
  book.mothers("fuchsia", 40, 12, 21, "2027-03-01").first_after = 84;
  book.add("A", 300, "2027-03-22");
  book.add("B", 250, "2027-03-29");
  CHECK(book.takings() == "A 300 fuchsia, B 180 fuchsia, B 70 -");
  CHECK(book.weeks() == "2027-W09 480 300 0\n2027-W10 180 180 70\n");
  // 550 shoots at 12 a plant take 45.8 plants; 84 days before 1 March is 7 December.
  CHECK(book.conflicts() ==
        "short-mothers The mother plants `fuchsia` give 70 shoots too few in 2027-W10.\n"
        "  B takes 180 shoots on Mon 2027-03-08.\n"
        "  B still wants 70 shoots on Mon 2027-03-08.\n"
        "  > Keep 46 of them, 6 more, planted by Mon 2026-12-07.\n"
        "  > From Mon 2027-03-22 (2027-W12) on there are enough: take what is missing then.\n"
        "  > Buy 70 shoots elsewhere.\n");
  SUBCASE("so many are enough") {
    CHECK(book.plan().conflicts[0].repairs[0].change == "site.fuchsia.plants=46");
    book.site().mothers.at("fuchsia").plants = 46;
    CHECK(book.conflicts().empty());
    book.site().mothers.at("fuchsia").plants = 45;
    CHECK_FALSE(book.conflicts().empty());
  }
  SUBCASE("what is missing can be bought") {
    const Needs needs = total_needs(book.plan());
    REQUIRE(needs.supplies[0].purchase.has_value());
    CHECK(needs.supplies[0].purchase->amount == 70);
    CHECK(iso_date(needs.supplies[0].purchase->first.day) == "2027-03-08");
  }
  SUBCASE("a batch of its own material takes nothing") {
    book.book().batches[1].lots["shoot"] = {"from the customer", {}};
    CHECK(book.takings() == "A 300 fuchsia");
  }
}

TEST_CASE("before the first and after the last day mothers give nothing") {
  MotherBook book;
  book.mothers("fuchsia", 40, 12, 21, "2027-03-15").until =
      book::Placed<calendar::Day>{the_day("2027-04-01"), {}};
  book.add("A", 100, "2027-03-22");
  book.add("B", 100, "2027-04-26");
  const std::string told = book.conflicts();
  CHECK(told.find("They give from Mon 2027-03-15 on: start later.") != std::string::npos);
  CHECK(told.find("They give nothing after Thu 2027-04-01") != std::string::npos);
  CHECK(told.find("From Mon 2027-03-15 (2027-W11) on there are enough") != std::string::npos);
}

TEST_CASE("on their last day mothers still give, and what is done lacks nothing") {
  MotherBook book;
  book.mothers("fuchsia", 40, 12, 21, "2027-03-01").until =
      book::Placed<calendar::Day>{the_day("2027-03-08"), {}};
  book.add("B", 500, "2027-03-29");  // 8 March
  CHECK(book.takings() == "B 480 fuchsia, B 20 -");
  CHECK(book.conflicts().find("20 shoots too few") != std::string::npos);
  book.book().today = the_day("2027-03-09");
  book.book().batches[0].done.push_back({"rooting/1/1", the_day("2027-03-08"), {}});
  CHECK(book.takings() == "B 480 fuchsia, B 20 -");
  CHECK(book.conflicts().empty());
}

TEST_CASE("batches take of the mothers of their cultivar, or of those that they name") {
  MotherBook book;
  book.mothers("a_bonita", 40, 12, 21, "2027-03-01").cultivar = "Bonita";
  book.mothers("b_any", 40, 12, 21, "2027-03-01").generation = book::Placed<int>{2, {}};
  auto& first = book.add("A", 500, "2027-03-22");
  CHECK(book.takings() == "A 480 b_any, A 20 -");
  first.cultivar = "Bonita";
  CHECK(book.takings() == "A 480 a_bonita, A 20 b_any");
  const Plan& plan = book.plan();
  CHECK(describe(plan, plan.orders[0]).supplies[0].lot == "a_bonita and b_any (generation 2)");
  book.book().batches[0].lots["shoot"] = {"b_any", {}};
  CHECK(book.takings() == "A 480 b_any, A 20 -");
}

TEST_CASE("mothers that are to be renewed are told when batches still take of them") {
  MotherBook book;
  auto& one = book.mothers("fuchsia", 40, 12, 21, "2027-03-01");
  one.planted = book::Placed<calendar::Day>{the_day("2025-03-08"), {}};
  one.renew_after = 730;
  one.first_after = 112;
  book.add("A", 100, "2027-03-22");
  CHECK(book.problems().empty());  // 1 March is before 8 March
  book.add("B", 100, "2027-03-29");
  CHECK(book.problems() ==
        "old-mothers The mother plants `fuchsia` are to be renewed by Mon 2027-03-08; B takes of "
        "them on Mon 2027-03-08. Plant new ones by Mon 2026-11-16, so that they give by then.\n");
}

TEST_CASE("what mothers give is an amount of their supply") {
  MotherBook book;
  book.add("A", 100, "2027-03-22");
  book.mothers("fuchsia", 40, 12, 21, "2027-03-01").gives = quantity("12 L");
  CHECK(book.problems() ==
        "unit-mismatch `shoot` is measured in shoots, which `12 L` does not fit. Such as a number "
        "of shoots.\n");
}

TEST_CASE("what was noted as taken counts") {
  MotherBook book;
  book.mothers("fuchsia", 40, 12, 21, "2027-03-01");
  book.add("A", 300, "2027-03-22");
  book.add("B", 150, "2027-03-29");
  book.book().today = the_day("2027-03-02");
  book.book().batches[0].done.push_back({"rooting/1/1", the_day("2027-03-01"), {}});
  record::Entry entry;
  entry.batch = "A";
  entry.place = "rooting/1/1";
  entry.what = record::What::done;
  entry.day = the_day("2027-03-01");
  entry.used.push_back({400, "", "shoot"});
  book.book().history.push_back(entry);
  CHECK(book.takings() == "A 400 fuchsia, B 80 fuchsia, B 70 -");
}
