#include <string>
#include <vector>

#include "book/site/site.hpp"
#include "language/model.hpp"
#include "library.hpp"
#include "plan/orders/order.hpp"

/// The grafts of the library against published figures. Each figure has its source beside it.
using namespace budwood;
using namespace budwood::library::test;

namespace {

/// Every graft, and a day by which a batch of it can be ready.
struct Graft {
  const char* protocol;
  const char* ready;
};
const std::vector<Graft> grafts = {
    {"approach_graft", "2027-05-14"},
    {"one_cotyledon_graft", "2027-05-14"},
    {"hole_insertion_graft", "2027-05-14"},
    {"tomato_splice_graft", "2027-05-14"},
    {"tomato_on_eggplant", "2027-05-14"},
    {"dormant_bench_graft", "2027-12-10"},
    {"t_bud", "2028-11-30"},
    {"chip_bud", "2028-11-30"},
    {"eggplant_on_wild_stock", "2027-05-28"},
    {"melon_on_fig_leaf_gourd", "2027-05-07"},
};
/// Those that heal in a chamber or under mist, with the name of that stage.
const std::vector<const char*> soft_grafts = {
    "approach_graft",     "one_cotyledon_graft",    "hole_insertion_graft",   "tomato_splice_graft",
    "tomato_on_eggplant", "eggplant_on_wild_stock", "melon_on_fig_leaf_gourd"};

/// A site where each stage of a protocol can have a climate of its own.
book::Site with_zones(const std::string& protocol, bool weekends) {
  book::Site site = weekends ? book::Site() : weekdays_with_duty();
  for (const language::Stage& stage : Shelf::shipped().protocol(protocol).stages) {
    if (!stage.room.empty()) site.rooms[stage.room].zones = 10;
  }
  return site;
}

double days_between(const Raised& graft, const std::string& earlier, const std::string& later) {
  return graft.start(later) - graft.start(earlier);
}

/// The first day of its stage, from 1, on which work with a tag falls.
std::vector<double> days_after(const Raised& graft, double since, const std::string& stage,
                               const std::string& tag) {
  std::vector<double> out;
  for (const plan::WorkOrder& order : graft.orders(stage, tag)) out.push_back(order.date - since);
  return out;
}

}  // namespace

TEST_CASE("Every graft can be planned, also where nobody works on weekends") {
  for (const Graft& g : grafts) {
    CAPTURE(g.protocol);
    for (const bool weekends : {true, false}) {
      const Raised graft(g.protocol, g.ready, with_zones(g.protocol, weekends));
      CHECK(graft.dated());
      CHECK(graft.problems() == "");
    }
  }
}

TEST_CASE("Who is sown first is a matter of the method") {
  SUBCASE("approach: watermelon scion five days before the stock, give or take one") {
    // Hassell & Memmott, watermelon grafting methods, Clemson, after Lee & Oda 2003
    CHECK(within(days_between(Raised("approach_graft"), "sow_scion", "sow_stock"), 4, 6));
  }
  SUBCASE("hole insertion: bottle gourd five days before the melon, give or take one") {
    // Grower note in a watermelon growers' forum, 2013; squash would be three days
    CHECK(within(days_between(Raised("hole_insertion_graft"), "sow_stock", "sow_scion"), 4, 6));
  }
  SUBCASE("one cotyledon: the scion first, 14 to 21 days old at the graft") {
    // Miles et al., Vegetable Grafting: Watermelon, WSU Extension FS100E (age)
    const Raised graft("one_cotyledon_graft");
    CHECK(days_between(graft, "sow_scion", "sow_stock") > 0);
    CHECK(within(days_between(graft, "sow_scion", "grafting"), 14, 21));
  }
  SUBCASE("tomato on eggplant: the stock two to three weeks before the tomato") {
    // Asian Vegetable Research and Development Center in ECHO Development Notes 1994
    CHECK(within(days_between(Raised("tomato_on_eggplant"), "sow_stock", "sow_scion"), 14, 21));
  }
  SUBCASE("tomato on tomato: three-week scions on stocks of three to four weeks") {
    // Central Luzon State University technoguide, The Philippine Star, 17 November 2002: 3-week
    // scions on 4-week stocks
    const Raised graft("tomato_splice_graft");
    CHECK(within(days_between(graft, "sow_scion", "grafting"), 20, 24));
    CHECK(within(days_between(graft, "sow_stock", "grafting"), 21, 28));
  }
}

TEST_CASE("Seedlings come up as fast as the temperature of the mix lets them") {
  // Harrington & Minges 1954, as printed in Knott's Handbook, 4th ed. 1997; at 28 degC on the line
  // between 25 and 30 degC, rounded up: muskmelon 4 and 3 days, tomato at 25 degC 6 days
  CHECK(Raised("one_cotyledon_graft").length("sow_scion").usual == 4);
  CHECK(Raised("tomato_splice_graft").length("sow_scion").usual == 6);
  CHECK(Raised("tomato_on_eggplant").length("sow_scion").usual == 6);
  // Eggplant 8 days at 25 degC and 5 at 30: the same
  CHECK(Raised("tomato_on_eggplant").length("sow_stock").usual == 7);
  // Squash, later adaptation of the same: 25 degC 6 days, 30 degC 4 days
  CHECK(Raised("one_cotyledon_graft").length("sow_stock").usual == 5);
}

TEST_CASE("Cucurbits heal at 25 to 28 degC, very humid for three days, in 3 to 5 klx") {
  for (const char* protocol : {"one_cotyledon_graft", "hole_insertion_graft"}) {
    CAPTURE(protocol);
    const Raised graft(protocol);
    const std::string healing = "healing";
    // 25 degC: Cushman 2006 in Hassell & Memmott; 28 degC: Korean study of grafted watermelon
    // curing
    CHECK(within(graft.setting(healing, "air", 1, language::Half::day), 25, 28));
    // The same study: no recovery within 7 days at 20 degC
    CHECK(graft.setting(healing, "air", 1, language::Half::night) > 20);
    for (int day = 1; day <= 3; ++day) CHECK(graft.setting(healing, "humidity", day) >= 95);
    CHECK(graft.setting(healing, "humidity", 4) <= graft.setting(healing, "humidity", 3));
    CHECK(graft.setting(healing, "humidity", 0) < graft.setting(healing, "humidity", 4));
    // 3 to 5 klx of sunlight are 56 to 93 umol/m2/s (Oda 1995; Thimijan & Heins 1983)
    CHECK(within(graft.setting(healing, "light", 1), 56, 93));
  }
}

TEST_CASE("Tomatoes heal between 25 and 28.9 degC, dark at first, and get 100 umol/m2/s at most") {
  for (const char* protocol : {"tomato_splice_graft", "tomato_on_eggplant"}) {
    CAPTURE(protocol);
    const Raised graft(protocol);
    // 80 to 84 degF: Bumgarner 2013, part 2; 20 to 25 degC: Central Luzon State University, The
    // Philippine Star 2002
    CHECK(within(graft.setting("healing", "air", 1), 25, celsius(84) + 0.01));
    CHECK(graft.setting("healing", "light", 1) == 0);
    CHECK(graft.setting("healing", "light", 2) == 0);
    CHECK(graft.setting("healing", "light", 3) > 0);
    CHECK(graft.setting("healing", "light", 0) <= 100 + 1e-9);
    // Bumgarner starts at 95 %, Central Luzon at 80 to 90 %
    CHECK(within(graft.setting("healing", "humidity", 1), 80, 95));
  }
  // On tomato stock Bumgarner's range alone
  CHECK(
      within(Raised("tomato_splice_graft").setting("healing", "air", 1), celsius(80), celsius(84)));
}

TEST_CASE("Grafts stay in healing until vessels are joined, and are looked at when failures show") {
  for (const char* protocol : soft_grafts) {
    CAPTURE(protocol);
    const Raised graft(protocol);
    // Vascular connection after 5 to 8 days: Johnson & Miles 2011, introduction
    CHECK(graft.length("healing").usual >= 7);
    CHECK(graft.length("healing").lowest >= 5);
    // Failures show from day 6 to day 14: the same, abstract
    bool counted = false;
    for (const plan::WorkOrder& order : graft.orders("healing")) {
      const language::Work& work = graft.stage("healing").works[order.work];
      const double day = order.date - graft.start("grafting") + 1;
      counted = counted || (!work.records.empty() && within(day, 6, 14));
    }
    CHECK(counted);
  }
}

TEST_CASE("Humidity comes down to what a bench has, never by more than a tenth a day") {
  for (const char* protocol : soft_grafts) {
    CAPTURE(protocol);
    const Raised graft(protocol);
    double before = graft.setting("healing", "humidity", 1);
    for (const char* stage : {"healing", "weaning"}) {
      const int days = static_cast<int>(graft.length(stage).usual);
      for (int day = 1; day <= days; ++day) {
        const double now = graft.setting(stage, "humidity", day);
        CAPTURE(stage);
        CAPTURE(day);
        CHECK(now <= before + 1e-9);
        CHECK(now >= before - 10);  // common practice
        before = now;
      }
    }
    CHECK(before <= 65);
  }
}

TEST_CASE("Takes are those of trained hands") {
  // WSU Extension FS052E: 95 % of splice grafts of tomato and eggplant
  CHECK(within(Raised("tomato_splice_graft").input("take", "%").usual, 92, 98));
  // Manickam et al. 2021, Plants 10(1):75: 93 % and above on eggplant
  CHECK(Raised("tomato_on_eggplant").input("take", "%").usual >= 93 - 1e-9);
  // Johnson & Miles 2011: 7 % of plainly spliced watermelons; methods that leave a seed leaf stand
  // far above, and below the 98 % of the Korean study's best chamber
  for (const char* protocol : {"approach_graft", "one_cotyledon_graft", "hole_insertion_graft"}) {
    CHECK(within(Raised(protocol).input("take", "%").usual, 80, 98));
  }
  // Missouri Extension G6972: experienced budders may get 90 to 100 %
  for (const char* protocol : {"t_bud", "chip_bud"}) {
    const Range take = Raised(protocol, "2028-11-30").input("take", "%");
    CHECK(within(take.usual, 85, 100));
    CHECK(take.highest == doctest::Approx(100));
  }
}

TEST_CASE("A trained person grafts about as many as were counted") {
  // Bogoescu & Moise 2017, Acta Horticulturae 1170:587-594: 1000 grafts by hand are 2.4 days of one
  // worker, 417 a day; in eight hours 52 an hour. Half to twice that is still a hand's work.
  for (const char* protocol :
       {"approach_graft", "one_cotyledon_graft", "hole_insertion_graft", "tomato_on_eggplant"}) {
    CAPTURE(protocol);
    CHECK(within(Raised(protocol).input("graft_speed", "per hour").usual, 26, 104));
  }
}

TEST_CASE("Tomatoes are grafted with two to four true leaves, on eggplant with three") {
  // WSU Extension FS052E; ECHO Development Notes 1994
  const Raised splice("tomato_splice_graft");
  CHECK(splice.stage("grow_stock").gate->written == "stock_true_leaves between 2 and 4");
  CHECK(splice.stage("grow_scion").gate->written == "scion_true_leaves between 2 and 4");
  CHECK(Raised("tomato_on_eggplant").stage("grow_scion").gate->written == "scion_true_leaves >= 3");
}

TEST_CASE("Both partners of a splice are watered the day before, not on the day") {
  // WSU Extension FS052E: 12 to 24 hours before
  const Raised graft("tomato_splice_graft");
  for (const char* stage : {"prepare_stock", "prepare_scion"}) {
    CHECK(days_after(graft, graft.start("grafting"), stage, "water") == std::vector<double>{-1});
  }
}

TEST_CASE("Only the stock gets sugar, two percent of it") {
  // Dabirian & Miles 2017, Increasing survival of splice-grafted watermelon seedlings, HortScience
  // 52(4):579: 2 % kept 89 %, 3 % only 82 %
  const Raised graft("one_cotyledon_graft");
  CHECK(graft.input("sucrose_strength", "%").usual == doctest::Approx(2));
  CHECK(graft.input("sucrose_strength", "%").highest <= 3 + 1e-9);
  CHECK(graft.orders("prepare_stock", "water").size() == 1);
}

TEST_CASE("Tomato shoots wait cool for fourteen days at most") {
  // ECHO Development Notes 1994
  const Raised graft("tomato_on_eggplant");
  const language::Stage& cool = graft.stage("cool_scion");
  const double wait = graft.protocol().node(cool.longest_wait).value / 86400;
  CHECK(graft.length("cool_scion").usual + wait == 14);
}

TEST_CASE("An approach graft heals for two weeks under mist that is thinned out") {
  // Common practice for large-seeded cucurbits, no published source
  const Raised graft("approach_graft");
  CHECK(within(days_between(graft, "sow_scion", "grafting"), 13, 16));
  CHECK(graft.length("healing").usual == 14);
  // Pulses of 20 s each 45 min, from 7 to 19 o'clock
  CHECK(graft.setting("healing", "mist_pulses", 1) == 16);
  CHECK(graft.setting("healing", "mist_time", 1) == doctest::Approx(16 * 20));
  for (int day = 2; day <= 14; ++day) {
    CHECK(graft.setting("healing", "mist_pulses", day) <=
          graft.setting("healing", "mist_pulses", day - 1));
  }
  CHECK(within(graft.setting("healing", "mist_pulses", 0), 1, 4));
  // The stock's top comes off one to two weeks after the graft
  for (const double day : days_after(graft, graft.start("grafting"), "healing", "severing")) {
    CHECK(within(day, 7, 14));
  }
  CHECK(graft.orders("healing", "severing").size() == 1);
  // The scion's own stem is half cut first, and cut through when the plants have stood it for days
  const auto cuts = graft.orders("weaning", "cutting");
  REQUIRE(cuts.size() == 2);
  CHECK(cuts.back().date - cuts.front().date >= 2);
}

TEST_CASE("Dormant pear calluses at the temperature of its kind") {
  // Callusing temperatures of fruit and nut trees, a UK grafting page: apple and pear 13 to 18 degC
  const Raised graft("dormant_bench_graft", "2027-12-10");
  const double heat = graft.setting("callusing", "air", 1);
  CHECK(within(heat, 13, 18));
  // A fruit nursery's growing note, 2019: 60 to 70 degF for 10 to 14 days, then 35 to 45 degF
  CHECK(within(heat, celsius(60), celsius(70)));
  CHECK(within(graft.length("callusing").usual, 10, 14));
  CHECK(within(graft.setting("holding", "air", 0), celsius(35), celsius(45)));
  // The range of the input holds both sources and stays below 30 degC, where tissue suffers
  CHECK(graft.input("callus_heat", "degC").lowest == doctest::Approx(13));
  CHECK(within(graft.input("callus_heat", "degC").highest, celsius(70) - 0.2, 30));
  CHECK(graft.stage("callusing").gate.has_value());
}

TEST_CASE("T-buds wait for slipping bark and a day below 90 degF, chip buds do not") {
  // State extension text on grafting and budding nursery crops; general fruit tree budding notes
  const Raised t_bud("t_bud", "2028-11-30");
  CHECK(t_bud.stage("clean_stock").gate->written == "bark_slips and cool_enough");
  const auto limit = [](const language::Observation& o) {
    return o.name == "cool_enough" && o.title.find("90 degF") != std::string::npos;
  };
  const std::vector<language::Observation>& observed = t_bud.protocol().observations;
  CHECK(std::any_of(observed.begin(), observed.end(), limit));
  const Raised chip("chip_bud", "2028-11-30");
  for (const language::Stage& stage : chip.protocol().stages) {
    if (stage.gate) CHECK(stage.gate->written.find("bark_slips") == std::string::npos);
  }
  // Chip budding goes on later in the year
  CHECK(chip.stage("budding").season->last.month >= t_bud.stage("budding").season->last.month);
  CHECK(chip.stage("budding").season->last.day > t_bud.stage("budding").season->last.day);
}

TEST_CASE("What a bud needs months later is dated work") {
  for (const char* protocol : {"t_bud", "chip_bud"}) {
    CAPTURE(protocol);
    const Raised graft(protocol, "2028-11-30", weekdays());
    const double budded = graft.start("budding");
    // Missouri Extension G6972: late July to early September; chip to September in the UK
    const calendar::Date date = calendar::date_of(static_cast<calendar::Day>(budded));
    CHECK(date.year == 2027);
    CHECK(within(date.month, 7, 9));
    // Heading back in the spring that follows, before the takes are counted there
    const std::string heading = protocol == std::string("t_bud") ? "first_heading" : "heading";
    const std::vector<plan::WorkOrder> cuts = graft.orders(heading, "severing");
    REQUIRE(cuts.size() == 1);
    const calendar::Date cut = calendar::date_of(cuts.front().date);
    CHECK(cut.year == 2028);
    CHECK(within(cut.month, 2, 4));
    // Takes are counted twice: weeks after budding, and when buds have grown
    CHECK(graft.stage("union").loses != language::no_formula);
    bool counted_in_spring = false;
    for (const plan::WorkOrder& order : graft.orders("shooting")) {
      for (const language::Record& r : graft.stage("shooting").works[order.work].records) {
        counted_in_spring = counted_in_spring || r.name == "takes_in_spring";
      }
    }
    CHECK(counted_in_spring);
  }
}

TEST_CASE("Nothing is cut before something is disinfected, and sharps go into their box") {
  for (const Graft& g : grafts) {
    CAPTURE(g.protocol);
    const Raised graft(g.protocol, g.ready);
    // The caution of the approach graft names the box.
    bool sharps = std::string(g.protocol) == "approach_graft" ||
                  std::string(g.protocol) == "melon_on_fig_leaf_gourd";
    for (std::size_t s = 0; s < graft.protocol().stages.size(); ++s) {
      const language::Stage& stage = graft.protocol().stages[s];
      sharps = sharps || !graft.orders(stage.name, "sharps_disposal").empty();
      const auto cuts = graft.orders(stage.name, "cutting");
      if (cuts.empty()) continue;
      CAPTURE(stage.name);
      const auto cleaned = graft.orders(stage.name, "sanitation");
      REQUIRE_FALSE(cleaned.empty());
      CHECK(cleaned.front().date <= cuts.front().date);
    }
    CHECK(sharps);
  }
}

TEST_CASE("Eggplant on a wild stock: late stock, and what lives") {
  const Raised graft("eggplant_on_wild_stock", "2027-05-28");
  // Indian trial of brinjal on five wild stocks: united after 10.36 days, 83.42 % alive on day 30
  CHECK(graft.length("healing").usual == 10);
  CHECK(graft.input("take", "%").usual == doctest::Approx(83));
  // Miceli and others 2014: long and irregular germination, so a wide range and a gate
  const Range wild = graft.length("sow_stock");
  CHECK(wild.highest >= 2 * wild.lowest);
  CHECK(graft.stage("sow_stock").gate.has_value());
  CHECK(days_between(graft, "sow_stock", "sow_scion") > 14);
  // Eggplant 8 days at 25 degC and 5 at 30: Harrington & Minges 1954
  CHECK(graft.length("sow_scion").usual == 7);
  // 417 a worker-day: Bogoescu & Moise 2017
  CHECK(graft.input("graft_speed", "per hour").usual == doctest::Approx(417 / 8.0).epsilon(0.01));
}

TEST_CASE("Melon on fig-leaf gourd keeps its root until the union holds") {
  const Raised graft("melon_on_fig_leaf_gourd", "2027-05-07");
  // Salehi, Kashi & Javanpoor 2008: by hole insertion 55 to 80 % of melons live on this stock
  CHECK(within(graft.input("take", "%").usual, 55, 80));
  // Muskmelon 4 days at 25 degC, 3 at 30 (Harrington & Minges 1954), and the day of the soak
  CHECK(within(graft.length("sow_scion").usual, 4, 5));
  CHECK(graft.orders("weaning", "severing").size() == 1);
}

TEST_CASE("A figure of a graft names its source") {
  CHECK(Raised("approach_graft").cites("Hassell & Memmott"));
  for (const char* protocol : {"one_cotyledon_graft", "hole_insertion_graft"}) {
    CHECK(Raised(protocol).cites("Korean study"));
    CHECK(Raised(protocol).cites("Oda 1995"));
  }
  // Where sources disagree both stand
  for (const char* protocol : {"tomato_splice_graft", "tomato_on_eggplant"}) {
    CHECK(Raised(protocol).cites("Bumgarner 2013"));
    CHECK(Raised(protocol).cites("Central Luzon"));
  }
  const Raised bench("dormant_bench_graft", "2027-12-10");
  CHECK(bench.cites("UK grafting page"));
  CHECK(bench.cites("growing note on bench grafting, 2019"));
}
