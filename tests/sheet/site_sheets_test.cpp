#include "sheet/site/site_sheets.hpp"
#include "random_protocol.hpp"
#include "sample.hpp"

/// Edits of the sheets of a site against new evaluations.
using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

const Day asked_day = *calendar::day_of({2029, 3, 5});

void replace_some(std::string& text, const std::string& what, const std::string& with, Draw& draw) {
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at)) {
    const bool chosen = draw.chance(60);
    if (chosen) text.replace(at, what.size(), with);
    at += chosen ? with.size() : what.size();
  }
}

/// A random protocol in which losses, times, lengths, space and supplies rest on inputs.
std::string protocol_with_inputs(std::uint32_t seed) {
  Draw draw(seed + 77);
  std::string text = RandomProtocol(seed, 3).text();
  replace_some(text, "time 10 min", "time slow", draw);
  replace_some(text, "lasts 3 days", "lasts stretch", draw);
  replace_some(text, "lasts 5 days", "lasts 5 days * pace", draw);
  replace_some(text, "per 40", "per share", draw);
  for (const char* percent : {"7 %", "21 %", "30 %", "44 %", "55 %"}) {
    replace_some(text, std::string("loses ") + percent, "loses 1 - take", draw);
  }
  for (int percent = 0; percent <= 60; percent += 2) {
    replace_some(text, "loses " + std::to_string(percent) + " %", "loses rot * pace", draw);
  }
  replace_some(text, " {\n    lasts", " {\n    room bench\n    space plants / share m2\n    lasts",
               draw);
  const std::string inputs =
      "  input take = 80 % seen 160 of 200 from 20 % to 100 %\n"
      "  input rot = 10 % from 0 % to 90 %\n"
      "  input slow = 10 min from 1 min to 5 h\n"
      "  input stretch = 3 days from 1 day to 12 days\n"
      "  input pace = 1 from 0 to 3\n"
      "  input share = 40 from -10 to 90\n"
      "  let odd = slow / pace\n"
      "  advise batch.plants / pace < 900 else \"It is small.\"\n";
  const std::size_t first = text.find('\n') + 1;
  text.insert(first, inputs);
  return text;
}

struct World {
  std::vector<std::shared_ptr<const Template>> templates;
  Site site;

  explicit World(std::uint32_t seed) {
    for (std::uint32_t i = 0; i < 2; ++i) {
      samples_.push_back(std::make_unique<Sample>(protocol_with_inputs(seed * 2 + i)));
      templates.push_back(samples_.back()->shared());
    }
    Draw draw(seed + 5'000);
    site.working = random_working_days(draw, asked_day - 150, 400);
  }

  SiteSheets fresh() const {
    std::vector<Sheet> sheets;
    for (const auto& t : templates) sheets.emplace_back(t, site);
    return SiteSheets(std::move(sheets));
  }

 private:
  std::vector<std::unique_ptr<Sample>> samples_;
};

/// What the batches of some sheets bring, evaluated anew.
SiteSheets evaluated_anew(const SiteSheets& sheets) {
  std::vector<Sheet> out;
  for (std::uint32_t s = 0; s < sheets.size(); ++s) {
    Sheet& sheet = out.emplace_back(sheets[s].shared_layout(), sheets[s].site());
    for (std::uint32_t row = 0; row < sheets[s].size(); ++row) {
      if (sheets.has({s, row})) sheet.add(sheets[s].batch(row));
    }
  }
  return SiteSheets(std::move(out));
}

int count_differences(const SiteSheets& edited, const SiteSheets& fresh) {
  int wrong = 0;
  for (std::uint32_t s = 0; s < edited.size(); ++s) {
    std::uint32_t other = 0;
    for (std::uint32_t row = 0; row < edited[s].size(); ++row) {
      if (!edited.has({s, row})) continue;
      for (CellId id = 0; id < edited[s].layout().cells.size(); ++id) {
        if (!same(edited.value({s, row}, id), fresh.value({s, other}, id))) ++wrong;
      }
      const DateConflict* a = edited[s].conflict(row);
      const DateConflict* b = fresh[s].conflict(other);
      if ((a == nullptr) != (b == nullptr) || (a != nullptr && a->misses != b->misses)) ++wrong;
      ++other;
    }
  }
  const DailyTotals& totals = edited.totals();
  for (std::uint32_t i = 0; i < totals.resources().size(); ++i) {
    const DailyTotals::Profile a = totals.profile(i);
    const DailyTotals::Profile b = fresh.totals().profile(i);
    if (a.days != b.days || (!a.days.empty() && a.first != b.first)) ++wrong;
    if (totals.missing(i) != fresh.totals().missing(i)) ++wrong;
  }
  return wrong;
}

BatchFacts random_batch(Draw& draw) {
  BatchFacts facts;
  facts.plants = draw.between(1, 2000);
  const Day day = asked_day + draw.between(0, 60);
  (draw.chance(70) ? facts.ready : facts.start) = day;
  if (draw.chance(20)) facts.sure = 0.9;
  return facts;
}

std::optional<BatchKey> some_batch(const SiteSheets& sheets, Draw& draw) {
  for (int tries = 0; tries < 20; ++tries) {
    const auto sheet = static_cast<std::uint32_t>(draw.between(0, 1));
    if (sheets[sheet].size() == 0) continue;
    const auto rows = static_cast<int>(sheets[sheet].size());
    const BatchKey key{sheet, static_cast<std::uint32_t>(draw.between(0, rows - 1))};
    if (sheets.has(key)) return key;
  }
  return std::nullopt;
}

/// Values inside the range of each input of `protocol_with_inputs`, in its order.
double random_value(std::size_t input, Draw& draw) {
  switch (input) {
    case 0:
      return draw.between(20, 100) / 100.0;
    case 1:
      return draw.between(0, 90) / 100.0;
    case 2:
      return draw.between(60, 18'000);
    case 3:
      return draw.between(1, 12) * 86'400.0;
    case 4:
      return draw.between(0, 6) / 2.0;
    default:
      return draw.between(-10, 90);
  }
}

Edit random_edit(const SiteSheets& sheets, Draw& draw) {
  const auto sheet = static_cast<std::uint32_t>(draw.between(0, 1));
  const auto batch = some_batch(sheets, draw);
  if (!batch || draw.chance(6)) return AddBatch{sheet, random_batch(draw)};
  const Template& t = sheets[batch->sheet].layout();
  const auto input = static_cast<std::size_t>(draw.between(0, 5));
  const StageId stage(draw.between(0, static_cast<int>(t.stages.size()) - 1));
  const Day day = asked_day + draw.between(-40, 70);
  const bool clear = draw.chance(40);
  std::optional<double> value;
  if (!clear) value = random_value(input, draw);
  const double seen = input == 0 && draw.chance(30) ? 50 : 0;
  switch (draw.between(0, 10)) {
    case 0:
      return SetPlants{*batch, static_cast<double>(draw.between(1, 3000))};
    case 1:
      return SetReady{*batch, day};
    case 2:
      return SetStart{*batch, day - 40};
    case 3:
      return SetPin{*batch, stage, draw.chance(30), clear ? std::nullopt : std::optional(day)};
    case 4:
      return SetCount{*batch, stage,
                      clear ? std::nullopt : std::optional<double>(draw.between(0, 900))};
    case 5:
      return SetSure{*batch, draw.chance(50) ? 0.0 : 0.95};
    case 6:
      return DropBatch{*batch};
    case 7:
      return SetClosed{day, draw.chance(60)};
    case 8:
      return SetSiteInput{batch->sheet, sheets[batch->sheet].layout().inputs[input], value,
                          seen > 0 ? 40.0 : 0.0, seen};
    default:
      return SetInput{*batch, t.inputs[input], value, seen > 0 ? 40.0 : 0.0, seen};
  }
}

}  // namespace

TEST_CASE("thousands of batches, shared out among cores, come to what each comes to by itself") {
  for (std::uint32_t seed = 101; seed <= 102; ++seed) {
    INFO("seed ", seed, "\n", protocol_with_inputs(seed * 2));
    const World world(seed);
    SiteSheets one_by_one = world.fresh();
    Draw draw(seed + 9'000);
    for (std::uint32_t i = 0; i < 5'000; ++i) {
      REQUIRE(one_by_one.apply(AddBatch{i % 2, random_batch(draw)}).empty());
    }
    for (int i = 0; i < 500; ++i) {
      const Edit edit = random_edit(one_by_one, draw);
      const bool of_site =
          std::holds_alternative<SetClosed>(edit) || std::holds_alternative<SetSiteInput>(edit);
      if (!of_site) one_by_one.apply(edit);
    }
    CHECK(count_differences(one_by_one, evaluated_anew(one_by_one)) == 0);
  }
}

TEST_CASE("any sequence of edits gives what a new evaluation gives") {
  int edits = 0;
  int undone = 0;
  int without_dates = 0;
  for (std::uint32_t seed = 1; seed <= 40; ++seed) {
    INFO("seed ", seed, "\n", protocol_with_inputs(seed * 2));
    const World world(seed);
    SiteSheets sheets = world.fresh();
    Draw draw(seed + 9'000);
    for (int i = 0; i < 10; ++i) {
      const auto sheet = static_cast<std::uint32_t>(i % 2);
      REQUIRE(sheets.apply(AddBatch{sheet, random_batch(draw)}).empty());
    }
    for (int step = 0; step < 60; ++step) {
      if (draw.chance(25)) {
        CHECK(sheets.undo());
        ++undone;
      } else {
        std::vector<Edit> several;
        for (int i = draw.between(1, 4); i > 0; --i) several.push_back(random_edit(sheets, draw));
        // A batch that an edit before it drops is not there any more; then none of them is made.
        (void)sheets.apply(several);
        edits += static_cast<int>(several.size());
      }
      if (step % 12 == 0) REQUIRE(count_differences(sheets, evaluated_anew(sheets)) == 0);
    }
    REQUIRE(count_differences(sheets, evaluated_anew(sheets)) == 0);
    for (std::uint32_t row = 0; row < sheets[0].size(); ++row) {
      if (sheets.has({0, row}) && sheets[0].conflict(row) != nullptr) ++without_dates;
    }
  }
  CHECK(edits > 4000);
  CHECK(undone > 300);
  CHECK(without_dates > 5);
}

TEST_CASE("undoing everything gives what there was") {
  for (std::uint32_t seed = 50; seed <= 60; ++seed) {
    const World world(seed);
    SiteSheets sheets = world.fresh();
    Draw draw(seed);
    for (int i = 0; i < 6; ++i) {
      REQUIRE(
          sheets.apply(AddBatch{static_cast<std::uint32_t>(i % 2), random_batch(draw)}).empty());
    }
    sheets.forget_history();
    const SiteSheets before = evaluated_anew(sheets);
    for (int step = 0; step < 80; ++step) (void)sheets.apply(random_edit(sheets, draw));
    while (sheets.undo()) {
    }
    CHECK(count_differences(sheets, before) == 0);
  }
}

TEST_CASE("listeners are told what changes, and nothing else") {
  const World world(3);
  SiteSheets sheets = world.fresh();
  REQUIRE(sheets.apply(AddBatch{0, {.plants = 400, .ready = asked_day}}).empty());
  const BatchKey batch = sheets.added().front();
  const CellId plants = sheets[0].layout().ordered;
  std::vector<Changes> told;
  const std::size_t number = sheets.subscribe([&](const Changes& one) { told.push_back(one); });
  REQUIRE(sheets.apply(SetPlants{batch, 500}).empty());
  REQUIRE(told.size() == 1);
  REQUIRE_FALSE(told[0].values.empty());
  CHECK(told[0].values[0].cell == plants);
  CHECK(told[0].values[0].before == 400);
  CHECK(told[0].values[0].after == 500);
  for (const Changes::Value& value : told[0].values) {
    CHECK_FALSE(same(value.before, value.after));
    CHECK(same(value.after, sheets.value(batch, value.cell)));
    CHECK(sheets[0].layout().cell(value.cell).type.kind != language::Type::Kind::date);
  }
  REQUIRE(sheets.apply(SetPlants{batch, 500}).empty());
  CHECK(told.back().values.empty());  // nothing is new
  REQUIRE(sheets.apply(DropBatch{batch}).empty());
  CHECK(told.back().dropped == std::vector<BatchKey>{batch});
  CHECK(sheets.undo());
  CHECK(told.back().added == std::vector<BatchKey>{batch});
  sheets.unsubscribe(number);
  const std::size_t count = told.size();
  REQUIRE(sheets.apply(SetPlants{batch, 600}).empty());
  CHECK(told.size() == count);
}

TEST_CASE("what cannot be is refused, and nothing of it is done") {
  const World world(4);
  SiteSheets sheets = world.fresh();
  REQUIRE(sheets.apply(AddBatch{0, {.plants = 400, .ready = asked_day}}).empty());
  REQUIRE(sheets.apply(AddBatch{1, {.plants = 90, .ready = asked_day + 9}}).empty());
  const BatchKey batch{0, 0};
  const Template& t = sheets[0].layout();
  const CellId take = t.find("take");
  const SiteSheets before = evaluated_anew(sheets);
  const double huge = std::numeric_limits<double>::infinity();
  const Edit wrong[] = {
      SetInput{{0, 9}, take, 0.5},
      SetInput{{7, 0}, take, 0.5},
      SetInput{batch, take, 0.1},
      SetInput{batch, take, no_value},
      SetInput{batch, take, huge},
      SetInput{batch, take, 0.5, 9, 3},
      SetInput{batch, t.hours, 0.5},
      SetInput{batch, 100'000, 0.5},
      SetSiteInput{5, take, 0.5},
      SetSiteInput{0, take, 3},
      SetPlants{batch, 0},
      SetPlants{batch, 2.5},
      SetPlants{batch, 1e9},
      SetSure{batch, 1},
      SetReady{batch, -5},
      SetStart{batch, 900'000},
      SetPin{batch, StageId(99), false, asked_day},
      SetPin{batch, StageId(0), false, -1},
      SetCount{batch, StageId(0), -1},
      SetCount{batch, StageId(), 5},
      AddBatch{3, {.plants = 5, .ready = asked_day}},
      AddBatch{0, {}},
      AddBatch{0, {.plants = 5}},
      AddBatch{0, {.plants = 5, .ready = asked_day, .start = asked_day}},
      AddBatch{0, {.plants = 5, .ready = asked_day, .inputs = {{t.hours, 3.0}}}},
      AddBatch{0, {.plants = 5, .ready = asked_day, .inputs = {{90'000, 3.0}}}},
      AddBatch{0, {.plants = 5, .ready = asked_day, .pins = {{StageId(77), false, asked_day}}}},
      AddBatch{0, {.plants = 5, .ready = asked_day, .counted = {{take, 3.0}}}},
      DropBatch{{0, 5}},
      SetClosed{-1, true},
  };
  for (const Edit& edit : wrong) {
    CAPTURE(edit.index());
    const std::vector<Edit> both = {SetPlants{batch, 777}, edit};
    CHECK_FALSE(sheets.apply(both).empty());
    CHECK(count_differences(sheets, before) == 0);
  }
  CHECK(sheets.apply(SetInput{batch, take, 0.1}) == "`take` lies outside its range.");
  CHECK(sheets.apply(SetInput{batch, t.hours, 1}) == "`batch.hours` is worked out, not given.");
}

TEST_CASE("a pin that cannot be met leaves the other batches as they are") {
  const Sample sample(
      "protocol p { part a stage s of a { lasts 4 days } stage t of a { lasts 3 days no wait } }");
  std::vector<Sheet> all;
  all.push_back(
      sample.sheet({{.plants = 10, .ready = asked_day}, {.plants = 20, .ready = asked_day}}));
  SiteSheets sheets(std::move(all));
  REQUIRE(sheets
              .apply(std::vector<Edit>{SetPin{{0, 0}, StageId(0), false, asked_day - 20},
                                       SetPin{{0, 0}, StageId(1), false, asked_day - 2}})
              .empty());
  REQUIRE(sheets[0].conflict(0) != nullptr);
  CHECK(std::isnan(sheets.value({0, 0}, sample.cell("s.start"))));
  CHECK(sheets[0].conflict(1) == nullptr);
  CHECK(sheets.value({0, 1}, sample.cell("s.start")) == asked_day - 7);
  CHECK(sheets.undo());
  CHECK(sheets[0].conflict(0) == nullptr);
  CHECK(sheets.value({0, 0}, sample.cell("s.start")) == asked_day - 7);
}

TEST_CASE("a batch has one date of its own: the one that was set last") {
  const Sample sample("protocol p { part a stage s of a { lasts 4 days } }");
  std::vector<Sheet> all;
  all.push_back(sample.sheet({{.plants = 10, .ready = asked_day}}));
  SiteSheets sheets(std::move(all));
  const auto facts = [&]() -> const BatchFacts& { return Row(sheets[0], 0).facts(); };
  REQUIRE(sheets.apply(std::vector<Edit>{SetStart{{0, 0}, asked_day + 30}}).empty());
  CHECK(facts().start == asked_day + 30);
  CHECK_FALSE(facts().ready);
  CHECK(sheets.value({0, 0}, sample.cell("s.end")) == asked_day + 34);
  REQUIRE(sheets.apply(std::vector<Edit>{SetReady{{0, 0}, asked_day + 50}}).empty());
  CHECK(facts().ready == asked_day + 50);
  CHECK_FALSE(facts().start);
  CHECK(sheets.value({0, 0}, sample.cell("s.end")) == asked_day + 50);
}

TEST_CASE("a date that was recorded and is then only wanted is worked out again") {
  const Sample sample(protocol(R"(
  stage sow of plant { lasts 8 days  do "Sow" on day 1 { crew all } }
)"));
  std::vector<Sheet> all;
  all.emplace_back(sample.shared(), weekdays());
  SiteSheets sheets(std::move(all));
  BatchFacts facts = ready_by("2027-05-07");
  facts.pins.push_back(
      {StageId(0), false, *calendar::parse_iso_date("2027-04-17"), true});  // a Saturday
  REQUIRE(sheets.apply(AddBatch{0, facts}).empty());
  const BatchKey key = sheets.added().front();
  CHECK(sheets[0].conflict(key.row) == nullptr);
  REQUIRE(sheets.apply(SetPin{key, StageId(0), false, facts.pins.front().day}).empty());
  CHECK(sheets[0].conflict(key.row) != nullptr);
  REQUIRE(sheets.undo());
  CHECK(sheets[0].conflict(key.row) == nullptr);
}

TEST_CASE("a listener may end its own subscription and add others while it is told") {
  const Sample sample(protocol("stage sow of plant { lasts 8 days }"));
  std::vector<Sheet> all;
  all.emplace_back(sample.shared(), weekdays());
  SiteSheets sheets(std::move(all));
  int first = 0;
  int later = 0;
  std::size_t number = 0;
  const std::string kept(100, 'x');  // on the heap of the listener, which outlives its end
  number = sheets.subscribe([&, kept](const Changes&) {
    sheets.unsubscribe(number);
    for (int i = 0; i < 20; ++i) sheets.subscribe([&](const Changes&) { ++later; });
    first += static_cast<int>(kept.size());
  });
  REQUIRE(sheets.apply(AddBatch{0, ready_by("2027-05-07")}).empty());
  CHECK(first == 100);
  CHECK(later == 0);
  REQUIRE(sheets.apply(SetPlants{sheets.added().front(), 30}).empty());
  CHECK(first == 100);
  CHECK(later == 20);
}
