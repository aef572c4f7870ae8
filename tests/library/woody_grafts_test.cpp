#include "language/model.hpp"
#include "library.hpp"
#include "plan/orders/order.hpp"

/// Grafts of vines, roses, conifers and bearing trees against published figures. Each figure has
/// its source beside it.
using namespace budwood;
using namespace budwood::library::test;

namespace {

calendar::Date date_of(const Raised& graft, const std::string& stage) {
  return calendar::date_of(static_cast<calendar::Day>(graft.start(stage)));
}

}  // namespace

TEST_CASE("Grape calluses hot, two to three weeks, both ways of the sources in its range") {
  const Raised vine("grape_bench_graft", "2027-07-02");
  // Northern grape growers' note 2012: 27 to 29 degC, two to three weeks
  CHECK(within(vine.setting("callusing", "air", 1), 27, 29));
  CHECK(within(vine.length("callusing").usual, 2 * week, 3 * week));
  // Callusing temperatures of fruit and nut trees, a UK grafting page: grape 21 to 24 degC, damage
  // above 30 degC
  CHECK(within(vine.input("callus_heat", "degC").lowest, 20.9, 21.1));
  CHECK(vine.input("callus_heat", "degC").highest <= 30);
  // Bioletti & Bonnet 1911, Circular 76: hardened before planting
  CHECK(vine.setting("hardening_wood", "air", 0) < vine.setting("callusing", "air", 1));
  CHECK(vine.end("hardening_wood") <= vine.start("potting"));
}

TEST_CASE("Roses are budded in summer and sold about fifteen months later") {
  const Raised rose("rose_budding", "2028-12-08");
  // Missouri Extension G6972: late July to early September; 90 to 100 % with experienced budders
  CHECK(within(date_of(rose, "budding").month, 7, 9));
  CHECK(within(rose.input("take", "%").usual, 90, 100));
  // Mygarden, Rose pests and diseases: about 15 months from bud to sale
  CHECK(within((rose.end("lifting") - rose.start("budding")) / 30.4, 14, 17));
  // State extension text on budding: slipping bark, not above 90 degF
  CHECK(rose.stage("opening").gate->written == "bark_slips and cool_enough");
  CHECK(rose.orders("heading", "severing").size() == 1);
}

TEST_CASE("Trees are top-worked before the bark slips, with nurse limbs left") {
  const Raised tree("top_working", "2028-02-18");
  // Weber, Penn State: cleft grafts before the bark slips, in spring before bud break
  CHECK(within(date_of(tree, "grafting").month, 2, 5));
  CHECK(tree.stage("waiting").gate->written == "buds_silver");
  // Penn State Extension: one or two nurse limbs stay
  CHECK(tree.cites("nurse limbs"));
  CHECK(tree.start("cut_sticks") < tree.start("cutting_back"));
}

TEST_CASE("Spruce is veneered in winter, warm below, cool above, its stock headed in steps") {
  const Raised spruce("conifer_veneer_graft", "2027-10-15");
  // Humphrey 2019: January to March
  CHECK(within(date_of(spruce, "grafting").month, 1, 3));
  // Herbst 2007: air of 45 to 55 degF, root zone about 70 degF, which is more than here; bottom
  // heat of 18 degC is common practice
  CHECK(within(spruce.setting("healing", "air", 1), celsius(45), celsius(55)));
  CHECK(spruce.setting("healing", "root_zone", 1) <= celsius(70));
  CHECK(spruce.setting("healing", "root_zone", 1) > spruce.setting("healing", "air", 1));
  // University of Florida IFAS: the stock is cut back when it has healed
  double after = spruce.start("grafting");
  for (const char* stage : {"first_cut", "potting", "growing"}) {
    const auto cuts = spruce.orders(stage, "severing");
    REQUIRE(cuts.size() == 1);
    CHECK(cuts.front().date - after >= 3 * week);
    after = cuts.front().date;
  }
}
