#include "results/learn.hpp"

#include <cmath>
#include <random>

#include "seasons.hpp"

using namespace budwood;
using namespace budwood::results;
using namespace budwood::results::test;

namespace {

/// A length that an input says and one that stands in its stage; an input that is what is lost.
const std::string lengths = R"(protocol slow "Slow" {
  edition 3
  input days_to_root = 20 days from 10 days to 40 days
  input rot = 10 % from 0 % to 60 %
  input speed = 60 per hour
  part cutting
  stage sticking of cutting { lasts 1 day
    do "Stick" on day 1 { rate speed } }
  stage rooting of cutting { lasts 10 to 40 days usually days_to_root  loses rot }
  stage hardening of cutting { lasts 5 to 9 days usually 6 days }
}
)";

class Slow : public plan::test::Planned {
 public:
  Slow() : Planned(lengths) { book().today = *calendar::parse_iso_date("2027-09-30"); }

  book::Batch& lived(const std::string& id, const std::string& stage, int days) {
    book::Batch* batch = nullptr;
    for (book::Batch& one : book().batches) {
      if (one.id.value == id) batch = &one;
    }
    if (batch == nullptr) batch = &add(id, 100, "2027-06-01");
    const calendar::Day day = *calendar::parse_iso_date("2027-04-01");
    const calendar::Day start = stage == "rooting" ? day : day + 60;
    using Side = book::Pin::Side;
    batch->pins.push_back({stage, Side::start, start, {}, true});
    batch->pins.push_back({stage, Side::end, start + days, {}, true});
    return *batch;
  }

  std::vector<Learned> learned() { return learn({{"slow", &plan()}}); }
};

const Learned& find(const std::vector<Learned>& all, const std::string& name) {
  for (const Learned& one : all) {
    if (one.input == name || (one.input.empty() && one.stage == name)) return one;
  }
  REQUIRE_MESSAGE(false, "nothing was learned of " << name);
  return all.front();
}

double days(double seconds) {
  return seconds / 86400;
}

}  // namespace

TEST_CASE("lengths are learned as quantiles, of an input or of the stage itself") {
  Slow season;
  const int seen[] = {18, 22, 25, 27, 31, 24, 20};
  int i = 0;
  for (const int one : seen) {
    const std::string id = "B" + std::to_string(++i);
    season.lived(id, "rooting", one);
    season.lived(id, "hardening", 7);
  }
  const auto all = season.learned();
  const Learned& rooting = find(all, "days_to_root");
  CHECK(rooting.kind == Learned::Kind::length);
  CHECK(rooting.jobs == 7);
  CHECK(days(rooting.value) == doctest::Approx(24));
  CHECK(days(rooting.interval.low) == doctest::Approx(18));  // of seven the first and the last
  CHECK(days(rooting.interval.high) == doctest::Approx(31));
  CHECK(days(rooting.range->shortest) == 18);
  CHECK(days(rooting.range->longest) == 31);
  CHECK(rooting.range->chance_next_between == doctest::Approx(0.75));
  CHECK(days(rooting.usual) == 20);
  CHECK(can_be_kept(rooting));
  const Learned& hardening = find(all, "hardening");
  CHECK(hardening.input.empty());
  CHECK(days(hardening.value) == 7);
  CHECK(days(hardening.usual) == 6);
  CHECK_FALSE(can_be_kept(hardening));  // no input says it; `revise` writes it
}

TEST_CASE("a single length teaches nothing") {
  Slow season;
  season.lived("B1", "rooting", 18);
  CHECK(season.learned().empty());
}

TEST_CASE("what is kept says its count the way round the input has it") {
  Slow season;
  for (int i = 1; i <= 6; ++i) {
    const std::string id = "B" + std::to_string(i);
    season.add(id, 100, "2027-06-01");
    record::Entry entry;
    entry.id = "e" + id;
    entry.what = record::What::counted;
    entry.batch = id;
    entry.place = "rooting";
    entry.day = *calendar::parse_iso_date("2027-05-20");
    entry.number = 78 + i;
    entry.of = 100;
    season.book().history.push_back(entry);
  }
  const auto all = season.learned();
  const Learned& rot = find(all, "rot");
  CHECK(rot.good == 6 * 78 + 21);
  CHECK(rot.value == doctest::Approx(1 - 489.0 / 600).epsilon(0.001));
  const book::LearnedValue kept = kept_value(rot);
  CHECK(kept.protocol.value == "slow");
  CHECK(kept.edition == 3);
  CHECK(kept.value.text == "18.5 % seen 111 of 600 in 6 batches spread 0 %");
  CHECK(kept.usual.text == "10 %");
  CHECK(kept.behind == "111 of 600 in 6 batches");
  CHECK(calendar::iso_date(kept.day) == "2027-09-30");
  const std::string yaml = book::learned_yaml({kept});
  CHECK(yaml.find("    value: 18.5 % seen 111 of 600 in 6 batches spread 0 %\n") !=
        std::string::npos);
}

TEST_CASE("values outside their range, and rates of few jobs, are not kept") {
  Slow season;
  for (int i = 1; i <= 5; ++i) season.lived("B" + std::to_string(i), "rooting", 60);
  const auto all = season.learned();
  CHECK(find(all, "days_to_root").outside);
  CHECK_FALSE(can_be_kept(find(all, "days_to_root")));
  Learned rate;
  rate.input = "speed";
  rate.kind = Learned::Kind::rate;
  rate.jobs = enough_batches - 1;
  CHECK_FALSE(can_be_kept(rate));
  rate.jobs = enough_batches;
  CHECK(can_be_kept(rate));
}

TEST_CASE("seasons with a known truth: next batches lie where they are said to") {
  // Twelve batches of 60 grafts a season, at 75 % with a likeness of 0.03; then the next batch.
  std::mt19937 dice(20);
  const double mean = 0.75;
  const double rho = 0.03;
  std::gamma_distribution<double> good(mean * (1 / rho - 1));
  std::gamma_distribution<double> bad((1 - mean) * (1 / rho - 1));
  const auto batch_of = [&](int plants) {
    const double a = good(dice);
    const double b = bad(dice);
    return std::binomial_distribution<int>(plants, a / (a + b))(dice);
  };
  int inside = 0;
  int covered = 0;
  constexpr int seasons = 150;
  for (int turn = 0; turn < seasons; ++turn) {
    Season season;
    for (int i = 0; i < 12; ++i) {
      const std::string id = "B" + std::to_string(i);
      season.batch(id);
      season.counted(id, batch_of(60), 60);
    }
    const auto all = learn(season.asked());
    REQUIRE(all.size() == 1);
    const double next = batch_of(60) / 60.0;
    if (all[0].next->low <= next && next <= all[0].next->high) ++inside;
    if (all[0].interval.low <= mean && mean <= all[0].interval.high) ++covered;
  }
  CHECK(inside >= 0.9 * seasons);
  CHECK(covered >= 0.9 * seasons);
}

TEST_CASE("a learning curve is there when somebody asks, from three jobs on") {
  Season season;
  for (const char* id : {"A", "B", "C"}) season.batch(id);
  // 40, 80 and 160 plants; a plant takes 80 % of the time for each doubling.
  double before = 0;
  for (const auto& [id, plants] :
       std::vector<std::pair<std::string, double>>{{"A", 40}, {"B", 80}, {"C", 160}}) {
    const double middle = before + (plants + 1) / 2;
    season.grafted(id, plants, "Ana", plants * 120 * std::pow(middle, std::log2(0.8)) / 3600);
    before += plants;
  }
  const auto curves = learning_curves(season.asked());
  REQUIRE(curves.size() == 1);
  CHECK(curves[0].person == "Ana");
  CHECK(curves[0].jobs == 3);
  CHECK(curves[0].curve.rate == doctest::Approx(0.8).epsilon(1e-6));
  CHECK(curves[0].curve.first == doctest::Approx(120).epsilon(1e-6));
}

TEST_CASE(
    "a share that is lost is learned from few batches together with what the protocol loses") {
  Slow season;
  season.add("B1", 100, "2027-06-01");
  record::Entry entry;
  entry.id = "e";
  entry.what = record::What::counted;
  entry.batch = "B1";
  entry.place = "rooting";
  entry.day = *calendar::parse_iso_date("2027-05-20");
  entry.number = 90;
  entry.of = 100;
  season.book().history.push_back(entry);
  const auto all = season.learned();
  const Learned& rot = find(all, "rot");
  CHECK_FALSE(rot.from_batches);
  // Ten of a hundred are lost as the protocol says, so nothing is to be learned.
  CHECK(rot.value == doctest::Approx(0.1).epsilon(0.03));
  CHECK(rot.interval.low < rot.value);
  CHECK(rot.value < rot.interval.high);
  CHECK(rot.interval.high < 0.5);
}

TEST_CASE("how many came into a stage is not known behind one that loses some uncounted") {
  Slow season;
  season.add("B1", 100, "2027-06-01");
  const auto note = [&](record::What what, const char* place, const char* day, double plants) {
    record::Entry entry;
    entry.id = place;
    entry.what = what;
    entry.batch = "B1";
    entry.place = place;
    entry.day = *calendar::parse_iso_date(day);
    entry.number = plants;
    season.book().history.push_back(entry);
  };
  note(record::What::done, "sticking/1/1", "2027-04-01", 400);
  note(record::What::counted, "hardening", "2027-05-20", 70);
  std::vector<LeftOut> left_out;
  std::vector<Outcome> all = outcomes_of(season.plan(), left_out);
  REQUIRE(all.size() == 1);
  CHECK_FALSE(all[0].start_noted);
  CHECK(all[0].plants.of < 400);
  // A count of the stage that loses them tells it.
  note(record::What::counted, "rooting", "2027-05-01", 80);
  all = outcomes_of(season.plan(), left_out);
  REQUIRE(all.size() == 2);
  CHECK(all[1].start_noted);
  CHECK(all[1].plants.of == 80);
}
