#include "planned.hpp"
#include "sheet/counts/prospects.hpp"

/// What is aimed at beyond the order: a share to spare, and trays that are filled.
namespace {

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

const std::string plugs = R"(protocol plugs "Plugs" {
  supply tray "Tray" in trays footprint 30 cm by 50 cm
  part plant
  stage sow of plant { lasts 1 day  do "Sow" { time 1 h  use 1 tray per 72 } }
  stage grow of plant { lasts 9 days  loses 10 % }
})";

struct Counted {
  double start = 0, left = 0;
};

Counted counted(const std::string& protocol, const std::function<void(book::Batch&)>& say) {
  Planned planned(protocol);
  say(planned.add("A", 600, "2027-05-31"));
  const Plan& plan = planned.plan();
  const sheet::Row row = plan.row_of(plan.batches.front());
  const auto stages = row.protocol().stages.size();
  return {row.value(row.cells(language::StageId(0)).plants),
          row.value(row.cells(language::StageId(stages - 1)).left)};
}

}  // namespace

TEST_CASE("a share to spare is aimed at beyond the order") {
  CHECK(counted(plugs, [](book::Batch&) {}).start == 667);  // 600 / 0.9
  const Counted spare = counted(plugs, [](book::Batch& batch) {
    batch.spare = book::Placed<double>{0.03, {}};
  });
  CHECK(spare.start == 687);  // 618 / 0.9
  CHECK(spare.left == doctest::Approx(618.3));
}

TEST_CASE("trays are filled where it is asked for, in the stage in which plants are started") {
  const auto full = [](book::Batch& batch) { batch.full_trays = book::Placed<bool>{true, {}}; };
  CHECK(counted(plugs, full).start == 720);  // 10 trays of 72; 9 take 648
  CHECK(counted(plugs, [](book::Batch& batch) {
          batch.full_trays = book::Placed<bool>{false, {}};
        }).start == 667);
  // What takes up no room is no tray, and what says `in whole` says it itself.
  std::string without = plugs;
  without.replace(without.find(" footprint 30 cm by 50 cm"), 25, "");
  CHECK(counted(without, full).start == 667);
}

TEST_CASE("sure is sure of what is to spare as well, in one chain and in several") {
  const std::string joined = R"(protocol graft "Graft" {
    part scion
    part stock
    part plant
    stage sow_scion of scion { lasts 9 days  loses 10 % }
    stage sow_stock of stock { lasts 9 days  loses 5 % }
    stage graft joins scion with stock into plant { lasts 1 day  loses 15 % }
  })";
  for (const std::string& protocol : {plugs, joined}) {
    Planned planned(protocol);
    book::Batch& batch = planned.add("A", 600, "2027-05-31");
    batch.sure = book::Placed<double>{0.9, {}};
    batch.spare = book::Placed<double>{0.03, {}};
    const auto with = sheet::prospects(planned.plan().row_of(planned.plan().batches.front()));
    Planned other(protocol);
    other.add("A", 618, "2027-05-31").sure = book::Placed<double>{0.9, {}};
    const auto as_ordered = sheet::prospects(other.plan().row_of(other.plan().batches.front()));
    REQUIRE(with.has_value());
    REQUIRE(as_ordered.has_value());
    // The same plants as for 618 ordered; the 600 are then surer.
    CHECK(with->expected == as_ordered->expected);
    CHECK(as_ordered->chance >= 0.9);
    CHECK(with->chance > as_ordered->chance);
  }
}
