#include <doctest/doctest.h>

#include "language/language.hpp"
#include "language/model.hpp"
#include "reading.hpp"

/// Protocols that are based on others: what comes of the changes.
namespace {

using namespace reading;

const std::string base = R"(
protocol method "House method" {
  edition 2
  crop "rosemary"
  source "house practice"
  input take = 85 % from 40 % to 100 % "cuttings that root"
  supply clip in clips
  supply mix in L
  observe roots in %
  part plant
  stage rooting of plant "Rooting" {
    lasts 10 to 14 days usually 12 days
    room mist_frame
    keep air 24 degC by day
    keep air 19 degC by night
    keep humidity 90 % until day 5
    taper humidity 90 % to 70 % from day 6 to last day
    loses 1 - take
    do "Look" on day 3 { time 5 min  record roots }
    do "Clip" on day 4 within 2 days { rate 100 per hour  crew benches  use 1 clip each  use 1 L mix }
    if roots < 30 % on day 9 { warn "Slow." }
  }
  stage standing of plant { lasts 5 days  room bench  after rooting by 1 to 2 days }
  advise rooting.left >= 0.5 * rooting.plants else "Only {rooting.left}."
}
)";

/// The model of what `changes` make of the base.
class Adapted {
 public:
  explicit Adapted(const std::string& changes)
      : read_(base + "protocol own based on method edition 2 {" + changes + "}") {
    INFO(read_.first_message());
    REQUIRE(read_.protocols().size() == 2);
  }
  const Protocol& operator*() const { return read_.protocols()[1]; }
  const Protocol* operator->() const { return &read_.protocols()[1]; }
  const Protocol& original() const { return read_.protocols()[0]; }
  double value(FormulaId id) const { return (**this).node(id).value; }
  std::vector<std::string> found() const { return read_.found(); }

 private:
  Reading read_;
};

constexpr double day_seconds = 86400;

std::vector<std::string> titles_of(const Stage& stage) {
  std::vector<std::string> out;
  for (const language::Work& work : stage.works) out.push_back(work.title);
  return out;
}

}  // namespace

TEST_CASE("based on: without changes all comes from the base but name, edition and title") {
  const Adapted own("edition 7");
  CHECK(own->name == "own");
  CHECK(own->edition == 7);
  CHECK(own->title == "House method");
  CHECK(own->crop == "rosemary");
  CHECK(own->nodes.size() == own.original().nodes.size());
  CHECK(own->stages.size() == 2);
  CHECK(own.original().edition == 2);
  REQUIRE(own->layers.size() == 2);
  CHECK(own->layers[0].name == "own");
  CHECK(own->layers[1].name == "method");
  CHECK(own->layers[1].edition == 2);
}

TEST_CASE("based on: every statement knows the layer in which it stands") {
  const Adapted own("set take = 70 %  change stage standing { loses 2 % }");
  const language::Layer* of_input = language::layer_of(*own, own->inputs[0].span);
  const language::Layer* of_stage = language::layer_of(*own, own->stages[0].span);
  REQUIRE(of_input != nullptr);
  REQUIRE(of_stage != nullptr);
  CHECK(of_input->name == "own");
  CHECK(of_stage->name == "method");
  CHECK(language::layer_of(*own, {}) == nullptr);
}

TEST_CASE("based on: what stands behind the own protocol in the same file is not of its layer") {
  const Reading read("protocol own based on method edition 2 { }" + base);
  INFO(read.first_message());
  REQUIRE(read.protocols().size() == 2);
  const Protocol& own = read.protocols().front();
  REQUIRE(own.name == "own");
  const language::Layer* of_input = language::layer_of(own, own.inputs[0].span);
  REQUIRE(of_input != nullptr);
  CHECK(of_input->name == "method");
}

TEST_CASE("based on: an input gets another value and keeps its range and title") {
  const Adapted own("set take = 70 % seen 140 of 200");
  const language::Input& take = own->inputs.front();
  CHECK(own.value(take.usual) == doctest::Approx(0.7));
  CHECK(own.value(take.lowest) == doctest::Approx(0.4));
  CHECK(own.value(take.highest) == doctest::Approx(1));
  CHECK(take.seen == 200);
  CHECK(take.title == "cuttings that root");
  CHECK(own.original().node(own.original().inputs.front().usual).value == doctest::Approx(0.85));
  const Adapted wider("set take = 30 % from 10 % to 90 %");
  CHECK(wider.value(wider->inputs.front().lowest) == doctest::Approx(0.1));
}

TEST_CASE("based on: statements of a stage take the place of those of their kind") {
  const Adapted own(R"(change stage rooting "Striking" {
    lasts 15 to 20 days usually 16 days
    room fog_tent
    keep humidity 95 %
    loses 4 %
    note "Shade at noon."
    do "Look" on day 5 { time 9 min  record roots }
    do "Vent" daily from day 8 { time 2 min }
  })");
  const Stage& stage = own->stages.front();
  CHECK(stage.title == "Striking");
  CHECK(own.value(stage.usual) == 16 * day_seconds);
  CHECK(stage.room == "fog_tent");
  CHECK(own.value(stage.loses) == doctest::Approx(0.04));
  CHECK(stage.notes == std::vector<std::string>{"Shade at noon."});
  CHECK(titles_of(stage) == std::vector<std::string>{"Look", "Clip", "Vent"});
  CHECK(stage.works.front().timing.days.front().day == 5);
  int humidity = 0;
  int air = 0;
  for (const language::Setting& one : stage.settings) {
    humidity += one.name == "humidity";
    air += one.name == "air";
  }
  CHECK(humidity == 1);
  CHECK(air == 2);
}

TEST_CASE("based on: a setting by day leaves the one by night") {
  const Adapted own("change stage rooting { keep air by day 27 degC }");
  std::vector<double> kept;
  for (const language::Setting& one : own->stages.front().settings) {
    if (one.name == "air") kept.push_back(own.value(one.first) - 273.15);
  }
  REQUIRE(kept.size() == 2);
  CHECK(kept[0] == doctest::Approx(27));
  CHECK(kept[1] == doctest::Approx(19));
}

TEST_CASE("based on: a work changes in part") {
  const Adapted own(R"(change stage rooting {
    change work "Clip" on day 6 { rate 80 per hour  use 2 clip each  caution "Mind the stems." }
  })");
  const language::Work& work = own->stages.front().works[1];
  CHECK(work.timing.days.front().day == 6);
  CHECK(work.timing.within == 2);
  CHECK(own.value(work.rate) == doctest::Approx(80.0 / 3600));
  CHECK(work.crew == "benches");
  REQUIRE(work.uses.size() == 2);
  CHECK(own->supplies[static_cast<std::size_t>(work.uses[0].supply)].name == "mix");
  CHECK(own.value(work.uses[1].amount) == 2);
  CHECK(work.cautions.front() == "Mind the stems.");
}

TEST_CASE("based on: stages are added and dropped where they are said to be") {
  const Adapted own(R"(
    add stage resting of plant "Resting" before standing { lasts 2 days }
    add stage selling of plant after standing { lasts 1 day }
    change stage standing { drop after rooting })");
  std::vector<std::string> names;
  for (const Stage& stage : own->stages) names.push_back(stage.name);
  CHECK(names == std::vector<std::string>{"rooting", "resting", "standing", "selling"});
  CHECK(own->stages[2].takes == std::vector<language::StageId>{language::StageId(1)});
  const Adapted less("drop stage standing");
  CHECK(less->stages.size() == 1);
}

TEST_CASE("based on: what is renamed is renamed wherever it is named") {
  const Adapted own(R"(
    rename stage rooting to striking "Striking"
    rename input take to strike
    rename observe roots to rooted
    rename supply clip to peg "Peg"
    rename room mist_frame to fog_tent
    rename crew benches to bench_team
    rename part plant to cutting
    rename work "Clip" in striking to "Peg down")");
  const Stage& stage = own->stages.front();
  CHECK(stage.name == "striking");
  CHECK(stage.title == "Striking");
  CHECK(stage.room == "fog_tent");
  CHECK(own->inputs.front().name == "strike");
  CHECK(language::loss_input(*own, stage)->input == 0);
  CHECK(own->supplies.front().title == "Peg");
  CHECK(own->parts.front().name == "cutting");
  CHECK(stage.works[1].title == "Peg down");
  CHECK(stage.works[1].crew == "bench_team");
  CHECK(stage.works[0].records.front().name == "rooted");
  REQUIRE(stage.contingencies.size() == 1);
  CHECK(stage.contingencies.front().written == "rooted < 30 %");
  CHECK(own->stages[1].after.front().stage == 0);
  CHECK(own->requirements.size() == 1);
}

TEST_CASE("based on: of repeated stages the number of cycles and the names change") {
  const Reading read(R"(
protocol method {
  part shoot
  repeat 2 times { stage multiplying of shoot { lasts 28 days  yields 3 per plant } }
  stage hardening of shoot { lasts 5 days  after multiplying_2 by 0 to 1 days }
}
protocol more based on method edition 1 {
  change repeat of multiplying to 3 times
  change stage hardening { drop after multiplying_2 }
}
protocol renamed based on method edition 1 { rename stage multiplying to dividing })");
  INFO(read.first_message());
  REQUIRE(read.protocols().size() == 3);
  CHECK(read.protocols()[1].stages.size() == 4);
  CHECK(read.protocols()[1].stages[2].name == "multiplying_3");
  CHECK(read.protocols()[2].stages[1].name == "dividing_2");
  CHECK(read.protocols()[2].stages[2].after.front().stage == 1);
}

TEST_CASE("based on: bases may stand in other files, in any order, and rest on each other") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& last = sources.add("a.bud", "protocol c based on b edition 4 { set n = 3 }");
  const text::Source& middle =
      sources.add("b.bud", "protocol b based on a edition 1 { edition 4  set n = 2 }");
  const text::Source& first = sources.add(
      "c.bud", "protocol a { input n = 1 from 0 to 9  part p  stage s of p { lasts n * 1 day } }");
  const auto all = language::read({&last, &middle, &first}, diagnostics);
  CHECK(diagnostics.empty());
  REQUIRE(all.protocols.size() == 3);
  CHECK(all.protocols[0].layers.size() == 3);
  CHECK(all.protocols[0].node(all.protocols[0].inputs[0].usual).value == 3);
  CHECK(all.protocols[2].node(all.protocols[2].inputs[0].usual).value == 1);
  const auto beside = language::read({&last}, diagnostics, {&middle, &first});
  CHECK(diagnostics.empty());
  REQUIRE(beside.protocols.size() == 1);
  CHECK(beside.protocols[0].name == "c");
}

TEST_CASE("based on: what is wrong beside is not reported, but a base is missed") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& own = sources.add("a.bud", "protocol c based on b edition 1 { }");
  const text::Source& other =
      sources.add("b.bud", "protocol b { part p  stage s of p { lasts 3 litres } }");
  CHECK(language::read({&own}, diagnostics, {&other}).protocols.empty());
  REQUIRE(diagnostics.sorted().size() == 1);
  CHECK(diagnostics.sorted().front().code == "broken-base");
}

TEST_CASE("based on: a base is blamed for its own mistakes alone") {
  const std::string sound = "protocol b { part p  stage s of p { lasts 3 days } }\n";
  const auto codes = [](const std::string& text) {
    const Reading read(text);
    std::string out;
    for (const std::string& one : read.errors()) out += one + " ";
    return out;
  };
  CHECK(codes(sound + "protocol c based on b edition 1 { chnage stage s { lasts 4 days } }") ==
        "unknown-statement ");
  CHECK(codes(sound + "protocol d based on b edition 1 { }\nprotocol e { prat p }") ==
        "unknown-statement ");
  CHECK(codes("protocol b { prat p }\nprotocol c based on b edition 1 { }").find("broken-base") !=
        std::string::npos);
}

TEST_CASE("based on: a base may stand in a file of which nothing can be read") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& own = sources.add("a.bud", "protocol c based on b edition 1 { }");
  const text::Source& other =
      sources.add("b.bud", "protocl b { part p  stage s of p { lasts 3 days } }");
  language::read({&own, &other}, diagnostics);
  std::string told;
  for (const text::Diagnostic& one : diagnostics.sorted())
    told += one.code + ": " + one.advice + "\n";
  CHECK(told ==
        "unknown-statement: Did you mean `protocol`?\n"
        "unknown-base: It may stand in a file of which nothing could be read: mend that first.\n");
}

TEST_CASE("based on: a long row of bases is refused before it costs anything") {
  std::string text = "protocol p0 { part p  stage s of p { lasts 3 days } }\n";
  for (int i = 1; i < 3000; ++i) {
    text += "protocol p" + std::to_string(i) + " based on p" + std::to_string(i - 1) +
            " edition 1 { }\n";
  }
  const Reading read(text);
  REQUIRE_FALSE(read.errors().empty());
  CHECK(read.errors().front() == "too-nested");
}

TEST_CASE("based on: twenty protocols rest on each other, and not one more") {
  // Written from the last to the first, so that each is looked for from above.
  const auto row_of = [](int protocols) {
    std::string text;
    for (int i = protocols - 1; i > 0; --i) {
      text += "protocol p" + std::to_string(i) + " based on p" + std::to_string(i - 1) +
              " edition 1 { }\n";
    }
    return text + "protocol p0 { part p  stage s of p { lasts 3 days } }\n";
  };
  CHECK(Reading(row_of(20)).errors().empty());
  const Codes errors = Reading(row_of(21)).errors();
  REQUIRE(errors.size() == 20);
  // Told where the row ends; those above rest on it.
  CHECK(errors.front() == "broken-base");
  CHECK(errors.back() == "too-nested");
}

TEST_CASE("a rule set with a mistake is left out, and it is known that it was") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add(
      "house.bud",
      "rules house { rule long { for each stage s { advise s.dayz >= 1 day else \"short\" } } }");
  const language::Document found = language::read(source, diagnostics);
  CHECK(diagnostics.count(text::Severity::error) == 1);
  CHECK(found.rule_sets.empty());
  CHECK(found.left_out.broken == std::vector<std::string>{"house"});
}

/// "from-to: first" of each light setting.
static std::vector<std::string> light_days(const Adapted& own) {
  std::vector<std::string> out;
  for (const language::Setting& one : own->stages.front().settings) {
    if (one.name != "humidity") continue;
    const auto number = [](const language::StageDay& one_day) {
      return one_day.last ? std::string("last") : std::to_string(one_day.day);
    };
    out.push_back(number(one.from) + "-" + number(one.to));
  }
  return out;
}

// The base keeps humidity until day 5 and tapers it from day 6 on.
TEST_CASE("based on: a setting takes the place of the base's on its own days alone") {
  CHECK(light_days(Adapted("change stage rooting { taper humidity 90 % to 60 % from day 6 }")) ==
        std::vector<std::string>{"1-5", "6-last"});
  CHECK(light_days(Adapted("change stage rooting { keep humidity 95 % until day 5 }")) ==
        std::vector<std::string>{"1-5", "6-last"});
  CHECK(light_days(Adapted("change stage rooting { keep humidity 95 % on day 8 }")) ==
        std::vector<std::string>{"1-5", "6-last", "8-8"});
  CHECK(light_days(Adapted("change stage rooting { keep humidity 95 % until day 7 }")) ==
        std::vector<std::string>{"6-last", "1-7"});
  CHECK(light_days(Adapted("change stage rooting { keep humidity 95 % }")) ==
        std::vector<std::string>{"1-last"});
}

TEST_CASE("a variant is a protocol of its own, and no part of the one in which it stands") {
  const std::string with =
      "variant quick \"Quick\" { set take = 70 %  change stage rooting { lasts 9 days } }";
  std::string whole = base;
  whole.insert(whole.rfind('}'), with);
  const Reading read(whole);
  INFO(read.first_message());
  REQUIRE(read.protocols().size() == 2);
  const Protocol& host = read.protocols()[0];
  const Protocol& quick = read.protocols()[1];
  CHECK(host.fingerprint == Reading(base).protocol().fingerprint);
  CHECK(quick.fingerprint != host.fingerprint);
  CHECK(quick.name == "method.quick");
  CHECK(quick.title == "House method (Quick)");
  CHECK(quick.edition == 2);
  CHECK(quick.node(quick.inputs[quick.inputs.find("take")].usual).value == doctest::Approx(0.7));
  CHECK(host.node(host.inputs[host.inputs.find("take")].usual).value == doctest::Approx(0.85));
  CHECK(quick.stages.size() == host.stages.size());
  // Its layers tell what it sets itself.
  CHECK(layer_of(quick, quick.inputs[quick.inputs.find("take")].span) == &quick.layers.front());
  CHECK(quick.layers.back().name == "method");
}

TEST_CASE("a protocol based on another has its own variants alone") {
  std::string whole = base;
  whole.insert(whole.rfind('}'), "variant quick { set take = 70 % }");
  const Reading read(whole +
                     "protocol own based on method edition 2 { variant slow { set take = 90 % } }");
  INFO(read.first_message());
  REQUIRE(read.protocols().size() == 4);
  CHECK(read.protocols()[2].name == "own");
  CHECK(read.protocols()[3].name == "own.slow");
}
