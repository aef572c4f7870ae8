#include "results/compare.hpp"

#include <doctest/doctest.h>

#include "seasons.hpp"

using namespace budwood;
using namespace budwood::results;
using namespace budwood::results::test;

namespace {

struct Tray {
  double alive, of;
};

/// Counts of two batches, the first as written, the second by the variant.
Compared compared(Season& season, const std::vector<Tray>& first, const std::vector<Tray>& second,
                  int looks = 1) {
  season.batch("A");
  season.batch("B", "clipped");
  int tray = 0;
  for (const Tray& one : first) season.counted("A", one.alive, one.of, std::to_string(++tray));
  for (const Tray& one : second) season.counted("B", one.alive, one.of, std::to_string(++tray));
  const auto all =
      compare(season.asked(), {Of::take, By::variant, ""}, {{"clipped", "as written"}}, looks);
  REQUIRE(all.size() == 1);
  return all.front();
}

}  // namespace

TEST_CASE("seeds on plates: p = 0.03 when plates are ignored is no difference") {
  // O73 of Crowder 1978, Appl. Statist. 27:34-37, Table 3: 49/123 on bean, 75/141 on cucumber.
  Season season;
  const Compared one = compared(season, {{8, 16}, {10, 30}, {8, 28}, {23, 45}, {0, 4}},
                                {{3, 12}, {22, 41}, {15, 30}, {32, 51}, {3, 7}});
  CHECK(one.verdict == Verdict::unsure);
  REQUIRE(one.lots);
  CHECK(one.lots->as_large == 66);
  CHECK(one.lots->lots == 252);
  CHECK(one.p == doctest::Approx(0.2619).epsilon(0.001));
  CHECK(one.interval->low < 0);
  CHECK(one.trays_needed.value_or(0) > 5);
  // RS-18: of seeds alone, and with design effects (Rao and Scott).
  REQUIRE(one.plants_alone);
  CHECK(one.plants_alone->p == doctest::Approx(0.0301).epsilon(0.01));
  REQUIRE(one.scatter_respected);
  CHECK(one.scatter_respected->p == doctest::Approx(0.0888).epsilon(0.005));
  CHECK_FALSE(one.by_lot);
}

TEST_CASE("a difference that stands although plates scatter") {
  // O75 of the same table: 99/272 on bean, 201/295 on cucumber.
  Season season;
  const Compared one = compared(season, {{10, 39}, {23, 62}, {23, 81}, {26, 51}, {17, 39}},
                                {{5, 6}, {53, 74}, {55, 72}, {32, 51}, {46, 79}, {10, 13}});
  CHECK(one.verdict == Verdict::better);
  CHECK(one.lots->as_large == 1);
  CHECK(one.lots->lots == 462);
  CHECK(one.difference == doctest::Approx(0.31739).epsilon(0.0001));
  CHECK(one.interval->low > 0.15);
  // Looked at ten times it takes more: Pocock's limit for ten looks is 0.0106.
  Season again;
  const Compared looked = compared(again, {{10, 39}, {23, 62}, {23, 81}, {26, 51}, {17, 39}},
                                   {{5, 6}, {53, 74}, {55, 72}, {32, 51}, {46, 79}, {10, 13}}, 10);
  CHECK(looked.limit == doctest::Approx(0.0106).epsilon(0.01));
  CHECK(looked.verdict == Verdict::better);
}

TEST_CASE("three trays each can show nothing") {
  Season season;
  const Compared one =
      compared(season, {{2, 24}, {3, 24}, {1, 24}}, {{23, 24}, {22, 24}, {24, 24}});
  CHECK(one.p == doctest::Approx(0.1));
  CHECK(one.smallest_p.value_or(0) == doctest::Approx(0.1));
  CHECK(one.verdict == Verdict::unsure);
}

TEST_CASE("one count each: plants, by Newcombe and Fisher") {
  // RS-29, RS-30: 7/34 against 1/34 (Perondi et al. 2004, in Fagerland, Lydersen & Laake 2017).
  Season season;
  const Compared one = compared(season, {{1, 34}}, {{7, 34}});
  CHECK_FALSE(one.lots);
  CHECK(one.p == doctest::Approx(0.0544).epsilon(0.001));
  CHECK(one.interval->low == doctest::Approx(0.0189).epsilon(0.005));
  CHECK(one.verdict == Verdict::unsure);  // the interval leaves 0 out, luck does not
}

TEST_CASE("within batches that have both") {
  // RS-21: root cuttings of plum, long against short, planted at once and in spring (Bartlett 1935,
  // J. R. Stat. Soc. Suppl. 2:248-252): difference 21.25 points, odds 2.771, alike in both (p
  // 0.13).
  Season season;
  const auto add = [&](const std::string& id, const std::string& variant, int alive) {
    season.batch(id, variant).split_from = "T" + id.substr(1);
    season.counted(id, alive, 240);
  };
  add("A1", "clipped", 156);
  add("B1", "", 107);
  add("A2", "clipped", 84);
  add("B2", "", 31);
  const auto all =
      compare(season.asked(), {Of::take, By::variant, ""}, {{"clipped", "as written"}});
  REQUIRE(all.size() == 1);
  CHECK(all[0].batches_with_both == 2);
  REQUIRE(all[0].common);
  CHECK(all[0].common->difference == doctest::Approx(0.2125).epsilon(0.0001));
  REQUIRE(all[0].common_odds);
  CHECK(all[0].common_odds->ratio == doctest::Approx(2.771).epsilon(0.001));
  CHECK(all[0].common_p.value_or(1) < 1e-10);
  CHECK(all[0].common_p_method == "exact, given how many were alive in each");
  REQUIRE(all[0].alike);
  CHECK(all[0].alike->p == doctest::Approx(0.13).epsilon(0.05));
}

TEST_CASE("what differed besides is told") {
  Season season;
  season.batch("A");
  season.batch("B", "clipped");
  season.grafted("A", 100, "Ana");
  season.grafted("B", 100, "Ben");
  season.counted("A", 40, 100);
  season.counted("B", 80, 100);
  const auto all =
      compare(season.asked(), {Of::take, By::variant, ""}, {{"clipped", "as written"}});
  REQUIRE(all.size() == 1);
  std::vector<std::string> what;
  for (const Unlike& unlike : all[0].unlike) what.push_back(unlike.what);
  CHECK(what == std::vector<std::string>{"batch", "person"});
}

TEST_CASE("a group without counts") {
  Season season;
  season.batch("A");
  season.counted("A", 40, 100);
  const auto all =
      compare(season.asked(), {Of::take, By::variant, ""}, {{"clipped", "as written"}});
  REQUIRE(all.size() == 1);
  CHECK(all[0].verdict == Verdict::no_answer);
  CHECK(groups_with_counts(season.asked(), {Of::take, By::variant, ""}) ==
        std::vector<std::string>{"as written"});
}

TEST_CASE("all or none taken in every tray") {
  Season season;
  const Compared one = compared(season, {{0, 20}, {0, 20}, {0, 20}, {0, 20}},
                                {{20, 20}, {20, 20}, {20, 20}, {20, 20}});
  // Trays do not scatter at all: the plants' own interval stands in.
  CHECK(one.verdict == Verdict::better);
  CHECK(one.interval.has_value());
}

TEST_CASE("one tray of each shows nothing of trays, and plants stand in with a warning") {
  Season season;
  const Compared one = compared(season, {{40, 60}}, {{55, 60}});
  CHECK_FALSE(one.lots);
  CHECK(one.p_method == "Fisher's exact test of plants, no mid-P");
  CHECK(one.first.units == 1);
}

TEST_CASE("books that do not belong together are not thrown together") {
  Season here;
  here.batch("A");
  here.counted("A", 40, 60);
  Season there;
  there.batch("A", "clipped");
  there.counted("A", 50, 60);
  std::vector<Asked> both = here.asked();
  both.push_back({"there", there.asked().front().plan});
  const auto all = compare(both, {Of::take, By::variant, ""}, {{"clipped", "as written"}});
  REQUIRE(all.size() == 1);
  CHECK_FALSE(all[0].by_lot);
  CHECK(all[0].batches_with_both == 0);
  const Summary summary = summarise(both, {Of::take, By::batch, ""});
  CHECK(summary.rows.size() == 2);  // of one name, and two all the same
}

TEST_CASE("a hundred groups are a hundred rows") {
  Season season;
  for (int i = 0; i < 100; ++i) {
    const std::string id = "B" + std::to_string(i);
    season.batch(id);
    season.counted(id, 30 + i % 20, 60);
  }
  CHECK(season.ask(Of::take, By::batch).rows.size() == 100);
  CHECK(season.ask(Of::take, By::protocol).rows.front().units == 100);
}
