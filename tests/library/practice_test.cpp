#include <algorithm>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "../words.hpp"
#include "language/model.hpp"
#include "library.hpp"
#include "plan/orders/order.hpp"

/// What the orders of every protocol that ships have in common, read as the person who has to do
/// them: nothing on one day that takes a night, nothing that waits until it is no longer true,
/// amounts by what is filled, cautions where hands can be hurt.
using namespace budwood;
using budwood::tests::any_has;
using budwood::tests::has;
using namespace budwood::library::test;

namespace {

bool tagged(const language::Work& work, const std::string& tag) {
  return std::find(work.tags.begin(), work.tags.end(), tag) != work.tags.end();
}

/// Calls with each work of each protocol that ships.
template <typename Look>
void each_work(const Look& look) {
  for (const language::Protocol& protocol : Shelf::shipped().protocols()) {
    for (const language::Stage& stage : protocol.stages) {
      for (const language::Work& work : stage.works) {
        CAPTURE(protocol.name);
        CAPTURE(work.title);
        look(protocol, stage, work);
      }
    }
  }
}

std::optional<language::WorkId> work_that_moves(const language::Stage& stage) {
  for (const language::WorkId w : stage.works.ids()) {
    if (stage.works[w].moves) return w;
  }
  return std::nullopt;
}

/// What an order takes of a supply, base units.
double amount(const Raised& raised, const plan::WorkOrder& order, const std::string& supply) {
  double sum = 0;
  const plan::OrderDetail detail = plan::describe(raised.plan(), order);
  for (const plan::SupplyAmount& use : detail.supplies) {
    if (use.supply == supply) sum += use.amount;
  }
  return sum;
}

}  // namespace

TEST_CASE("Every protocol that ships has its season here") {
  // Both need a site's temperatures.
  std::set<std::string> held = {"winter_chilled_seed", "winter_chilled_seed.store"};
  for (const Season& season : seasons()) held.insert(season.protocol);
  for (const language::Protocol& protocol : Shelf::shipped().protocols()) {
    CAPTURE(protocol.name);
    CHECK(held.count(protocol.name) == 1);
  }
}

TEST_CASE("Every protocol can be planned in the north, in the hot north and in the south") {
  for (const double latitude : {52.0, 28.0, -35.0}) {
    book::Site site = weekdays();
    site.latitude = book::Placed<double>{latitude, {}};
    for (const Season& season : seasons()) {
      const calendar::Day north = *calendar::parse_iso_date(season.ready);
      const calendar::Day ready = latitude < 0 ? north + 182 : north;
      const Raised raised(season.protocol, calendar::iso_date(ready), site);
      CAPTURE(latitude);
      CAPTURE(std::string(season.protocol));
      CHECK(raised.dated());
    }
  }
}

TEST_CASE("What takes a night is gone on with on another day") {
  std::size_t nights = 0;
  for (const Season& season : seasons()) {
    const Raised raised(season.protocol, season.ready);
    for (const language::Stage& stage : raised.protocol().stages) {
      for (const plan::WorkOrder& order : raised.orders(stage.name)) {
        const language::Work& work = stage.works[order.work];
        if (!has(work.title, "overnight")) continue;
        ++nights;
        CAPTURE(std::string(season.protocol));
        CAPTURE(work.title);
        for (const char* rest : {"sowing", "sticking", "grafting"}) CHECK_FALSE(tagged(work, rest));
        // What follows is later in this stage, or this is the last of it and the stage takes the
        // night.
        const auto all = raised.orders(stage.name);
        const bool followed =
            std::any_of(all.begin(), all.end(),
                        [&](const plan::WorkOrder& other) { return other.date > order.date; });
        const bool last = all.back().work == order.work && raised.end(stage.name) > order.date;
        CHECK((followed || last));
      }
    }
  }
  CHECK(nights >= 7);
  each_work([](const language::Protocol&, const language::Stage&, const language::Work& work) {
    CHECK_FALSE(has(work.title, "over night"));  // one word, so that the above finds it
  });
}

TEST_CASE("What takes a night says so, so that nothing that comes after it falls on its day") {
  std::size_t nights = 0;
  each_work([&](const language::Protocol&, const language::Stage&, const language::Work& work) {
    const bool titled = has(work.title, "overnight");
    CHECK(work.timing.hours.overnight == titled);
    if (titled) ++nights;
  });
  CHECK(nights >= 12);
}

TEST_CASE("Rules find what they ask for: work that feeds or looks for pests says so by its tags") {
  std::set<std::string> tags;
  each_work([&](const language::Protocol&, const language::Stage&, const language::Work& work) {
    tags.insert(work.tags.begin(), work.tags.end());
    if (has(work.title, "ppm nitrogen")) {
      CHECK(tagged(work, "feeding"));
      CHECK_FALSE(work.uses.empty());
    }
    for (const char* pest : {"aphid", "thrips", "whitefly", "mites", "fungus gnats"}) {
      if (has(work.title, pest)) CHECK(tagged(work, "pests"));
    }
  });
  // A rule whose tag nothing carries would never be kept, nor broken.
  for (const char* tag :
       {"bark", "cooling", "drying", "feeding", "hardening", "pests", "planting_out", "sap",
        "seed_health", "soaking", "stem", "vessels", "virus", "weather"}) {
    CAPTURE(tag);
    CHECK(tags.count(tag) == 1);
  }
}

TEST_CASE("Half cut and cut through of an approach graft are two orders, some days apart") {
  const calendar::Day first = *calendar::parse_iso_date("2027-05-10");
  for (const char* protocol : {"approach_graft", "melon_on_fig_leaf_gourd"}) {
    // Whatever the day of the week on which the plants come out of the mist.
    for (calendar::Day ready = first; ready < first + 7; ++ready) {
      const Raised graft(protocol, calendar::iso_date(ready), weekdays());
      CAPTURE(std::string(protocol));
      CAPTURE(calendar::iso_date(ready));
      const auto cuts = graft.orders("weaning", "cutting");
      REQUIRE(cuts.size() == 2);
      // Three days at least: common practice, no published source
      CHECK(cuts.back().date - cuts.front().date >= 3);
    }
  }
}

TEST_CASE("Bark and weather are looked at again on the day on which buds are set") {
  for (const char* protocol : {"t_bud", "rose_budding"}) {
    const Raised budded(protocol, "2028-12-08", weekdays());
    CAPTURE(std::string(protocol));
    for (const char* tag : {"bark", "weather"}) {
      const auto looks = budded.orders("cut_sticks", tag);
      REQUIRE(looks.size() == 1);
      CHECK(looks.front().date == budded.start("budding"));
    }
  }
}

TEST_CASE("Bench grafts are packed on the day on which they are made") {
  const Raised bench("dormant_bench_graft", "2027-12-10", weekdays());
  const auto packed = bench.orders("grafting", "lifting");
  REQUIRE(packed.size() == 1);
  CHECK(packed.front().date == bench.start("grafting"));
  CHECK(amount(bench, packed.front(), "callus_crate") > 0);
}

TEST_CASE(
    "Grafts into the chamber, trays under the mist, crates into the store: somebody carries") {
  const std::vector<std::pair<const char*, const char*>> carried = {
      {"approach_graft", "healing"},       {"bulb_scaling", "chilling"},
      {"bulb_scaling", "planting"},        {"dormant_bench_graft", "callusing"},
      {"dormant_bench_graft", "holding"},  {"eggplant_on_wild_stock", "healing"},
      {"hole_insertion_graft", "healing"}, {"melon_on_fig_leaf_gourd", "healing"},
      {"one_cotyledon_graft", "healing"},  {"semi_ripe_cuttings", "callusing"},
      {"softwood_cuttings", "rooting"},    {"tomato_on_eggplant", "healing"},
      {"tomato_splice_graft", "healing"},
  };
  for (const Season& season : seasons()) {
    const Raised raised(season.protocol, season.ready, weekdays_with_duty());
    for (const auto& [protocol, stage] : carried) {
      if (std::string(protocol) != season.protocol) continue;
      CAPTURE(std::string(protocol));
      CAPTURE(std::string(stage));
      std::vector<plan::OrderDetail> moves;
      const auto all = raised.orders(stage);
      for (const plan::WorkOrder& order : all) {
        if (raised.stage(stage).works[order.work].moves) {
          moves.push_back(plan::describe(raised.plan(), order));
        }
      }
      REQUIRE(moves.size() == 1);
      CHECK(moves.front().date == raised.start(stage));
      CHECK(moves.front().person_seconds > 0);
      CHECK_FALSE(moves.front().notes.empty());
      // What is done to them there on that day comes after it.
      for (const plan::WorkOrder& order : all) {
        const language::Work& work = raised.stage(stage).works[order.work];
        if (!work.moves && work.timing.kind != language::Timing::Kind::start) {
          CHECK(work.place >
                raised.stage(stage).works[*work_that_moves(raised.stage(stage))].place);
        }
      }
    }
  }
}

TEST_CASE("What stands under a cover of its own asks nothing of the air of its room") {
  const std::vector<std::pair<const char*, std::vector<const char*>>> covered = {
      {"air_layering", {"settling"}},
      {"conifer_veneer_graft", {"healing"}},
      {"fern_spores", {"germinating", "prothalli", "covered", "opening"}},
      {"leaf_cuttings", {"rooting", "plantlets_showing"}},
      {"micropropagation", {"covered"}},
  };
  for (const auto& [protocol, stages] : covered) {
    for (const char* stage : stages) {
      CAPTURE(std::string(protocol));
      CAPTURE(std::string(stage));
      const language::Protocol& found = Shelf::shipped().protocol(protocol);
      const language::StageId id = found.stages.find(stage);
      REQUIRE(id.known());
      CHECK(found.stages[id].under_cover);
    }
  }
}

TEST_CASE("After a spray the room is closed, and whoever works there is told") {
  // 12 hours on the label of an insecticidal soap; a shift ends at 16:00 where a site says nothing.
  const Raised apart("quarantine");
  const auto sprays = apart.orders("apart", "pesticide");
  REQUIRE(sprays.size() == 1);
  const plan::OrderDetail spray = plan::describe(apart.plan(), sprays.front());
  CHECK(any_has(spray.notes, "No entry to `quarantine` until "));
  CHECK(any_has(spray.cautions, "Goggles"));
  for (const plan::WorkOrder& order : apart.orders("apart", "water")) {
    if (order.date != sprays.front().date) continue;
    CHECK(
        any_has(plan::describe(apart.plan(), order).notes, "nobody enters `quarantine` after it"));
  }
}

TEST_CASE("A round with sticky cards is an order every week, with its cards") {
  const Raised round("scouting", "2027-08-27");
  std::vector<calendar::Day> days;
  for (int week = 1; week <= 12; ++week) {
    const std::string stage = "week_" + std::to_string(week);
    const auto orders = round.orders(stage, "pests");
    REQUIRE(orders.size() == 1);
    CHECK(amount(round, orders.front(), "card") == round.cell(stage + ".plants"));
    if (!days.empty()) CHECK(within(orders.front().date - days.back(), 5, 9));
    days.push_back(orders.front().date);
  }
}

TEST_CASE("What a stage waits for is looked at, on whatever day of the week the plants are ready") {
  // Looks that fall on free days are left out: where it was the only one, nobody would know.
  std::size_t gates = 0;
  for (const Season& season : seasons()) {
    const calendar::Day first = *calendar::parse_iso_date(season.ready);
    for (calendar::Day ready = first - 7; ready < first; ++ready) {
      const Raised raised(season.protocol, calendar::iso_date(ready), weekdays_with_duty());
      CAPTURE(std::string(season.protocol));
      CAPTURE(calendar::iso_date(ready));
      if (!raised.dated()) continue;
      for (const language::Stage& stage : raised.protocol().stages) {
        if (!stage.gate) continue;
        CAPTURE(stage.name);
        for (const language::ObservationId seen : stage.gate->observations) {
          const std::string& name = raised.protocol().observations[seen].name;
          CAPTURE(name);
          const auto orders = raised.orders(stage.name);
          CHECK(std::any_of(orders.begin(), orders.end(), [&](const plan::WorkOrder& order) {
            const auto& records = stage.works[order.work].records;
            return std::any_of(records.begin(), records.end(),
                               [&](const language::Record& record) { return record.name == name; });
          }));
          ++gates;
        }
      }
    }
  }
  CHECK(gates > 300);
}

TEST_CASE("Nobody waits long after looking at bark, weather or ripeness") {
  std::size_t looked = 0;
  for (const language::Protocol& protocol : Shelf::shipped().protocols()) {
    for (const language::Stage& stage : protocol.stages) {
      if (!stage.gate) continue;
      const std::string& seen = stage.gate->written;
      if (!has(seen, "bark") && !has(seen, "cool") && !has(seen, "ripe")) continue;
      ++looked;
      CAPTURE(protocol.name);
      CAPTURE(seen);
      if (stage.longest_wait != language::no_formula)
        CHECK(protocol.node(stage.longest_wait).value <= 2 * 86400);
    }
  }
  CHECK(looked >= 2);
}

TEST_CASE("Bleach is poured into the water, and never meets acid, ammonia or alcohol") {
  // Iowa State University Extension, sanitising pruners: bleach into water, used within two hours.
  std::size_t baths = 0;
  each_work(
      [&](const language::Protocol& protocol, const language::Stage&, const language::Work& work) {
        for (const language::Use& use : work.uses) {
          if (protocol.supplies[use.supply].name != "bleach") continue;
          ++baths;
          CHECK(any_has(work.cautions, "bleach into the water"));
          CHECK(any_has(work.cautions, "never with acids, ammonia, alcohol or other cleaners"));
        }
      });
  CHECK(baths >= 7);
  // Where a protocol has both, whoever takes the alcohol is told as well.
  each_work(
      [](const language::Protocol& protocol, const language::Stage&, const language::Work& work) {
        if (!protocol.supplies.find("bleach").known()) return;
        for (const language::Use& use : work.uses) {
          if (protocol.supplies[use.supply].name == "alcohol")
            CHECK(any_has(work.cautions, "bleach"));
        }
      });
  each_work([](const language::Protocol&, const language::Stage&, const language::Work& work) {
    for (const std::string& caution : work.cautions) {
      if (has(caution, "never with another cleaner"))
        CHECK(has(caution, "acid, ammonia or alcohol"));
    }
  });
}

TEST_CASE("Potting mix is told as dust, sacks as heavy, and burning is left to local rules") {
  for (const language::Protocol& protocol : Shelf::shipped().protocols()) {
    for (const language::Supply& supply : protocol.supplies) {
      CAPTURE(protocol.name);
      CAPTURE(supply.name);
      if (supply.name == "mix" || supply.name == "rooting_mix")
        CHECK(supply.hazards == std::vector<std::string>{"dust", "heavy"});
      // What is bought by 20 litres or kilograms and more is a sack: common practice
      const units::Dimension& measured = supply.unit.dimension;
      if ((measured == units::volume && supply.pack >= 0.02) ||
          (measured == units::mass && supply.pack >= 20))
        CHECK(any_has(supply.hazards, "heavy"));
    }
  }
  each_work([](const language::Protocol&, const language::Stage&, const language::Work& work) {
    std::vector<std::string> all = work.notes;
    all.push_back(work.title);
    for (const std::string& text : all) {
      const bool burns = has(text, " burn ") || has(text, "burnt");
      if (burns) CHECK(has(text, "local rules"));
    }
  });
}

TEST_CASE("Where lamps or heat meet wet air, somebody tries the breaker first") {
  // Electricity near water: common practice, local rules go further.
  std::size_t wet = 0;
  for (const Season& season : seasons()) {
    const Raised raised(season.protocol, season.ready);
    for (const language::Stage& stage : raised.protocol().stages) {
      const bool powered =
          sets(stage, language::Measure::root_zone) || sets(stage, language::Measure::light);
      const bool moist = !stage.mists.empty() || raised.setting(stage.name, "humidity", 1) >= 85;
      if (!powered || !moist || raised.length(stage.name).usual <= 1) continue;
      ++wet;
      CAPTURE(std::string(season.protocol));
      CAPTURE(stage.name);
      const auto orders = raised.orders(stage.name, "electricity");
      CHECK(orders.size() == 1);
      if (orders.empty()) continue;
      CHECK(orders.front().date == raised.start(stage.name));
      CHECK(any_has(stage.works[orders.front().work].cautions, "residual-current breaker"));
    }
  }
  CHECK(wet >= 20);
}

TEST_CASE("Medium is made by the vessel, days before it is used, and looked at") {
  const Raised culture("micropropagation", "2028-06-30");
  for (const char* stage : {"medium_start", "medium_1", "medium_4", "medium_root"}) {
    CAPTURE(stage);
    const auto orders = culture.orders(stage);
    REQUIRE(orders.size() == 2);
    const double vessels = amount(culture, orders.front(), "vessel");
    // Five shoots a vessel, at the start one; one vessel in twenty more, for those that are thrown
    // out: common practice
    const double a_vessel = std::string(stage) == "medium_start" ? 1 : 5;
    CHECK(vessels >= culture.cell(std::string(stage) + ".plants") / a_vessel * 1.05 - 1e-9);
    // 40 mL a vessel, 7 g of agar a litre: from memory, no published source
    // and as much more as scales show
    const double agar = amount(culture, orders.front(), "agar");
    CHECK(within(agar, vessels * 0.040 * 0.007, vessels * 0.040 * 0.007 * 1.05));
    CHECK(orders.back().date - orders.front().date == 3);
  }
  // Three to seven days before: common practice
  CHECK(within(culture.start("parting_1") - culture.start("medium_1"), 3, 7));
}

TEST_CASE("Feed is weighed by its strength and the litres that are poured") {
  const Raised plug("plug_seedlings", "2027-05-14");
  // 100 ppm of nitrogen are 0.1 g a litre; a fifth of 20-20-20 is nitrogen; a litre a tray of 72.
  for (const plan::WorkOrder& order : plug.orders("growing")) {
    const double feed = amount(plug, order, "feed");
    if (feed == 0) continue;
    CHECK(feed == doctest::Approx(plug.cell("growing.plants") / 72 * 0.5e-3).epsilon(0.02));
  }
}
