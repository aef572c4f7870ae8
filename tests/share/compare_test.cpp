#include <doctest/doctest.h>

#include "language/language.hpp"
#include "share/compare.hpp"

/// What differs between two protocols, in sentences.
namespace {

using namespace budwood;

const char* const graft = R"(protocol graft "Approach graft" {
  edition 1
  crop "tomato"
  source "house practice"
  input take = 90 % from 50 % to 100 % "unions"
  supply clip "Clip" in clips pack 100 reused
  supply mix "Mix" in L
  part plant "Plant"
  stage healing of plant "Healing" {
    lasts 8 to 10 days usually 9 days
    may wait 2 days
    room chamber
    loses 1 - take
    keep humidity 95 % until day 3
    taper humidity 95 % to 70 % from day 4 to last day
    keep light 50 umol/m2/s for 12 h
    do "Graft and clip" on day 1 { rate 60 per hour  crew grafting  use 1 clip each  caution "Sharp knife." }
    do "Take clips off" on last day { rate 200 per hour  crew grafting }
  }
  stage hardening of plant {
    lasts 5 days
    room bench
    do "Water in with starter feed" on day 1 { time 20 min  use 0.1 L mix each }
  }
  require healing.left >= 10 else "Too few."
}
)";

const char* const graft_hardening = R"(stage hardening of plant {
    lasts 5 days
    room bench
    do "Water in with starter feed" on day 1 { time 20 min  use 0.1 L mix each }
  })";

std::string changed(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

struct Read {
  text::Sources sources;
  text::Diagnostics diagnostics;
  language::Document document;

  explicit Read(const std::string& text) {
    document = language::read(sources.add("p.bud", text), diagnostics);
    const auto all = diagnostics.sorted();
    INFO((all.empty() ? "" : all.front().message));
    REQUIRE(document.protocols.size() == 1);
  }
  const language::Protocol& protocol() const { return document.protocols.front(); }
};

std::string sentences(const std::string& before, const std::string& after) {
  const Read one(before);
  const Read other(after);
  std::string out;
  for (const share::Change& change : share::compare(one.protocol(), other.protocol()).changes) {
    out += (change.stage.empty() ? "" : change.stage + ": ") + change.sentence + "\n";
  }
  return out;
}

/// What comes of one change of the text.
std::string after_change(const std::string& from, const std::string& to) {
  return sentences(graft, changed(graft, from, to));
}

}  // namespace

TEST_CASE("a protocol does not differ from itself") {
  CHECK(sentences(graft, graft).empty());
  const Read one(graft);
  const Read spaced(changed(graft, "    room chamber\n", "# moved\n  room  chamber\n"));
  CHECK(share::compare(one.protocol(), spaced.protocol()).same_fingerprint);
}

TEST_CASE("other units of the same value are no change") {
  CHECK(after_change("lasts 5 days", "lasts 120 h").empty());
  CHECK(after_change("time 20 min", "time 1200 s").empty());
  const Read one(graft);
  const Read other(changed(graft, "lasts 5 days", "lasts 120 h"));
  CHECK_FALSE(share::compare(one.protocol(), other.protocol()).same_fingerprint);
}

TEST_CASE("lengths, waits, rooms and losses") {
  CHECK(after_change("8 to 10 days usually 9 days", "9 to 11 days usually 10 days") ==
        "healing: lasts 9 to 11 days instead of 8 to 10 days\n"
        "healing: usually 10 days instead of 9 days\n");
  CHECK(after_change("may wait 2 days", "no wait") ==
        "healing: may wait not at all instead of 2 days\n");
  CHECK(after_change("    may wait 2 days\n", "") == "healing: no longer may wait 2 days\n");
  CHECK(after_change("room bench", "room tunnel") ==
        "hardening: stands in `tunnel` instead of `bench`\n");
  CHECK(after_change("loses 1 - take", "loses 2 * (1 - take)") ==
        "healing: loses 2 * (1 - take) instead of 1 - take\n");
  CHECK(after_change("    lasts 5 days\n", "    lasts 5 days\n    season 15 May to 30 June\n") ==
        "hardening: newly starts in the season 15 May to 30 June\n");
}

TEST_CASE("the climate, piece by piece where that can be told") {
  CHECK(after_change("from day 4 to", "from day 5 to") ==
        "healing: humidity is tapered from day 5 instead of day 4\n");
  CHECK(after_change("95 % to 70 %", "95 % to 65 %") ==
        "healing: humidity is tapered from 95 % to 65 % instead of 95 % to 70 %\n");
  CHECK(after_change("    keep humidity 95 % until day 3\n", "") ==
        "healing: humidity is tapered from 95 % to 70 % from day 4 to the last day instead of "
        "95 % from day 1 to day 3, tapered from 95 % to 70 % from day 4 to the last day\n");
  CHECK(after_change("keep light 50 umol/m2/s for 12 h\n", "keep air 24 degC\n") ==
        "healing: newly air is 24 degC from day 1 to the last day\n"
        "healing: no longer light is 50 umol/m2/s for 12 h from day 1 to the last day\n");
}

TEST_CASE("work is matched by its title, else by its words") {
  CHECK(after_change("rate 60 per hour", "rate 50 per hour") ==
        "healing: \"Graft and clip\" goes at 50 per hour instead of 60 per hour\n");
  CHECK(after_change("    do \"Take clips off\" on last day { rate 200 per hour  crew grafting }\n",
                     "") == "healing: \"Take clips off\" is dropped\n");
  CHECK(after_change("\"Take clips off\"", "\"Take all clips off\"") ==
        "healing: \"Take all clips off\" was called \"Take clips off\"\n");
  CHECK(after_change("use 1 clip each", "use 2 clip each") ==
        "healing: \"Graft and clip\" uses of `clip` 2 clips each instead of 1 clip each\n");
  CHECK(after_change("  caution \"Sharp knife.\"", "") ==
        "healing: \"Graft and clip\" no longer caution \"Sharp knife.\"\n");
  CHECK(after_change("on last day", "every 2 days from day 3") ==
        "healing: \"Take clips off\" is done every 2 days from day 3 to the last day instead of on "
        "the last day\n");
}

TEST_CASE("of two works that are as much alike the first is the one that was renamed") {
  const std::string two =
      changed(graft, "do \"Take clips off\" on last day { rate 200 per hour  crew grafting }",
              "do \"Take clips off early\" on day 7 { rate 200 per hour  crew grafting }\n"
              "    do \"Take clips off late\" on last day { rate 150 per hour  crew grafting }");
  std::string one = changed(
      two, "    do \"Take clips off late\" on last day { rate 150 per hour  crew grafting }", "");
  one = changed(one, "clips off early\" on day 7 { rate 200",
                "clips off slowly\" on day 7 { rate 90");
  const std::string said = sentences(two, one);
  CAPTURE(said);
  CHECK(said.find("\"Take clips off slowly\" was called \"Take clips off early\"") !=
        std::string::npos);
  CHECK(said.find("\"Take clips off late\" is dropped") != std::string::npos);
}

TEST_CASE("a range of two units keeps both") {
  const std::string said =
      after_change("8 to 10 days usually 9 days", "36 h to 3 days usually 2 days");
  CHECK(said.starts_with("healing: lasts 36 h to 3 days instead of 8 to 10 days\n"));
}

TEST_CASE("what an input rests on is told when it changes") {
  const auto rests = [](const std::string& on) {
    return changed(graft, "take = 90 %", "take = 90 % " + on);
  };
  CHECK(sentences(graft, rests("seen 180 of 200")) == "input `take` newly rests on 180 of 200\n");
  CHECK(sentences(rests("seen 9 of 10"), rests("seen 180 of 200 in 4 batches")) ==
        "input `take` rests on 180 of 200 in 4 batches instead of 9 of 10\n");
}

TEST_CASE("stages that are new, dropped or only renamed") {
  std::string renamed = changed(graft, "stage hardening", "stage hardening_off");
  CHECK(sentences(graft, renamed) == "hardening_off: was called `hardening`\n");
  // Where others speak of it, that is no further change.
  renamed =
      changed(changed(graft, "stage healing", "stage mending"), "healing.left", "mending.left");
  CHECK(sentences(graft, renamed) == "mending: was called `healing`\n");
  const std::string longer =
      changed(graft, "  require", "  stage sale of plant { lasts 1 day }\n  require");
  CHECK(sentences(graft, longer).starts_with("sale: is new"));
  CHECK(sentences(longer, graft) == "sale: is dropped\n");
}

TEST_CASE("facts, inputs, supplies and requirements") {
  CHECK(after_change("edition 1", "edition 2") == "is edition 2 instead of 1\n");
  CHECK(after_change("source \"house practice\"", "source \"a bulletin\"") ==
        "newly source \"a bulletin\"\nno longer source \"house practice\"\n");
  CHECK(after_change("take = 90 %", "take = 85 %") == "input `take` is 85 % instead of 90 %\n");
  CHECK(after_change("pack 100", "pack 200") ==
        "supply `clip` is bought in packs of 200 clips instead of 100 clips\n");
  CHECK(after_change("\"Too few.\"", "\"Fewer than ten.\"") ==
        "requirement `healing.left >= 10` says \"Fewer than ten.\" instead of \"Too few.\"\n");
  CHECK(after_change(">= 10", ">= 20").find("is dropped") != std::string::npos);
}

TEST_CASE("a value in a message stands by its name, without what is around it") {
  const std::string before =
      changed(graft, "\"Too few.\"", "\"It ends on {healing.end}: too few.\"");
  CHECK(sentences(before, changed(before, "too few.", "too many."))
            .find("\"It ends on {healing.end}: too many.\"") != std::string::npos);
}

TEST_CASE("brackets in a comment inside a formula are no brackets of it") {
  const std::string before = changed(graft, "loses 1 - take", "loses (1 # of (all\n - take)");
  CHECK(sentences(before, changed(before, "- take)", "- take / 2)")).find("1 - take / 2") !=
        std::string::npos);
  CHECK(sentences(before, changed(before, "- take)", "- take / 2)")).find("keep") ==
        std::string::npos);
}

TEST_CASE("gates and what an `if` asks are compared by what they mean") {
  const std::string gated = changed(
      changed(graft, "  part plant", "  observe callus in %\n  part plant"), "may wait 2 days",
      "may wait 2 days\n until callus >= 80 %, at most 21 days\n"
      "do \"Look\" every 3 days { time 9 min  record callus }\n"
      "if callus < 50 % on day 5 { warn \"Look.\" }");
  CHECK(sentences(gated, changed(changed(gated, "callus >= 80 %", "(callus>=80 %)"),
                                 "callus < 50 %", "callus<50 %")) == "");
  CHECK(sentences(gated, changed(gated, ">= 80 %", ">= 70 %")) != "");
}

TEST_CASE("a stage that was renamed and changed at once is the same stage") {
  const std::string one =
      "\n" +
      sentences(graft, changed(changed(changed(graft, "stage hardening of", "stage toughening of"),
                                       "lasts 5 days", "lasts 6 days"),
                               "edition 1", "edition 2"));
  CAPTURE(one);
  CHECK(one.find("was called `hardening`") != std::string::npos);
  CHECK(one.find("is new") == std::string::npos);
  CHECK(one.find("is dropped") == std::string::npos);
  // Another stage in its place is another stage.
  const std::string other = sentences(
      graft,
      changed(graft, graft_hardening, "stage resting of plant { lasts 30 days  room store }"));
  CAPTURE(other);
  CHECK(other.find("is dropped") != std::string::npos);
}
