#include "revision/revise.hpp"

#include "../results/seasons.hpp"
#include "../words.hpp"

/// The next edition from the text of the present one and a season.
using namespace budwood;
using namespace budwood::results::test;
using budwood::tests::has;
using revision::Revision;
using revision::Step;

namespace {

class Revised : public Season {
 public:
  explicit Revised(const std::string& protocol = bark_grafts) : Season(protocol) {
    book().today = *calendar::parse_iso_date("2027-08-01");
  }

  void healed(const std::vector<int>& days) {
    for (const int one : days) {
      book::Batch& lived = batch("L" + std::to_string(book().batches.size()));
      const calendar::Day start = *calendar::parse_iso_date("2027-05-01");
      using Side = book::Pin::Side;
      lived.pins.push_back({"healing", Side::start, start, {}, true});
      lived.pins.push_back({"healing", Side::end, start + one, {}, true});
    }
  }

  void takes(const std::vector<double>& of_60, const std::string& variant = {}) {
    for (const double good : of_60) {
      const std::string id = "B" + std::to_string(book().batches.size());
      batch(id, variant);
      counted(id, good, 60);
    }
  }

  Revision revise(const std::string& method = {}) {
    const language::Protocol* bark = nullptr;
    for (const language::Protocol& one : book().protocols) {
      if (one.name == "bark") bark = &one;
    }
    return revision::revise(asked().front(), {bark, method}, diagnostics);
  }

  text::Diagnostics diagnostics;
};

const Step* find(const std::vector<Step>& steps, const std::string& about) {
  for (const Step& step : steps) {
    if (step.about == about) return &step;
  }
  return nullptr;
}

}  // namespace

TEST_CASE("a learned share is written in place, with a note that says its count") {
  Revised season;
  season.takes({36, 33, 40, 29, 38});
  const auto next = season.revise();
  REQUIRE(next.problem == "");
  CHECK(next.edition == 3);
  const Step* take = find(next.steps, "take");
  REQUIRE(take != nullptr);
  CHECK(take->before == "70 %");
  CHECK(has(take->after, "seen 176 of 300 in 5 batches spread "));
  CHECK(has(take->behind, "176 of 300 in 5 batches, by 2027-08-01"));
  CHECK(has(next.content, "  edition 3\n"));
  CHECK(has(next.content, "input take = " + take->after + " from 30 % to 100 %\n"));
  CHECK(has(next.content, "note \"Edition 3: take is " + take->after + ", before 70 %; "));
  CHECK(has(next.content, "variant clipped"));
  REQUIRE(next.protocol != nullptr);
  CHECK(next.protocol->inputs.front().seen == 300);
  CHECK(next.protocol->edition == 3);
}

TEST_CASE("what one large batch taught is read again") {
  Revised season;
  season.batch("B1");
  season.counted("B1", 400, 500);
  const Revision next = season.revise();
  REQUIRE(next.problem == "");
  CHECK(has(next.content, " in 1 batch"));
  CHECK(next.protocol->inputs.front().seen == 500);
}

TEST_CASE("lessons become notes at their stage, each once") {
  Revised season;
  season.takes({40, 41, 42, 43, 44});
  for (int i = 0; i < 2; ++i) {
    record::Entry lesson = season.entry(record::What::lesson, "B1", "healing", "2027-06-02");
    lesson.words = "Taper the mist \"slowly\".";
    lesson.by = "Ana";
    season.note(lesson);
  }
  record::Entry other = season.entry(record::What::lesson, "B2", "", "2027-06-03");
  other.words = "Test it properly.";
  season.note(other);
  const auto next = season.revise();
  REQUIRE(next.problem == "");
  const std::string note = "note \"Lesson: Taper the mist \\\"slowly\\\". (Ana, B1, 2027-06-02)\"";
  CHECK(has(next.content, note));
  CHECK(next.content.find(note) == next.content.rfind(note));
  CHECK(has(next.content, "note \"Lesson: Test it properly. (B2, 2027-06-03)\""));
  REQUIRE(next.protocol != nullptr);
  CHECK(next.protocol->stages[language::StageId(1)].notes.size() == 1);
}

TEST_CASE("a variant that won becomes the method, with what was learned of it") {
  Revised season;
  season.takes({36, 33, 40, 29, 38});
  season.takes({52, 50, 49, 51, 53}, "clipped");
  const auto next = season.revise("clipped");
  REQUIRE(next.problem == "");
  CHECK_FALSE(has(next.content, "variant"));
  CHECK(has(next.content, "seen 255 of 300 in 5 batches"));
  CHECK_FALSE(has(next.content, "seen 176 of 300"));
  CHECK(find(next.steps, "variant clipped") != nullptr);
  // What was learned of the old way is not lost sight of.
  CHECK(next.left.empty());
}

TEST_CASE("without the wish a variant keeps its block, with its own number") {
  Revised season;
  season.takes({52, 50, 49, 51, 53}, "clipped");
  const auto next = season.revise();
  REQUIRE(next.problem == "");
  CHECK(find(next.steps, "take, variant clipped") != nullptr);
  CHECK(has(next.content,
            "variant clipped \"Clip instead of tape\" { set take = 85 % seen 255 of 300"));
  CHECK(has(next.content, "input take = 70 % from"));
}

TEST_CASE("lessons of a cultivar are lessons of its method") {
  Revised season;
  season.takes({40, 41, 42, 43, 44});
  for (book::Batch& one : season.book().batches) one.split_from = "B";
  record::Entry lesson = season.entry(record::What::lesson, "B", "healing", "2027-06-02");
  lesson.words = "Shade them at noon.";
  season.note(lesson);
  CHECK(has(season.revise().content, "note \"Lesson: Shade them at noon. (B, 2027-06-02)\""));
}

TEST_CASE("lengths: the usual one moves, the range only widens") {
  Revised season;
  season.healed({24, 25, 26, 27, 31});
  const auto next = season.revise();
  REQUIRE(next.problem == "");
  const Step* healing = find(next.steps, "length of healing");
  REQUIRE(healing != nullptr);
  CHECK(healing->before == "20 days");
  CHECK(healing->after == "26 days");
  CHECK(has(next.content, "    lasts 26 days\n"));
  CHECK(has(next.content, "    note \"Edition 3: length of healing is 26 days, before 20 days; "));
}

TEST_CASE("a range that was kept to stays, and is widened where it was not") {
  std::string ranged = bark_grafts;
  const std::string written = "lasts 20 days";
  ranged.replace(ranged.find(written), written.size(), "lasts 15 to 30 days usually 20 days");
  Revised kept(ranged);
  kept.healed({18, 19, 20, 21, 22});
  const Revision same = kept.revise();
  REQUIRE(same.problem == "");
  CHECK(find(same.steps, "length of healing") == nullptr);
  REQUIRE(find(same.left, "length of healing") != nullptr);
  CHECK(has(find(same.left, "length of healing")->behind, "as it is written"));
  Revised wide(ranged);
  wide.healed({18, 20, 20, 20, 34});
  const Revision fresh = wide.revise();
  REQUIRE(fresh.problem == "");
  CHECK(has(fresh.content, "    lasts 15 to 34 days usually 20 days\n"));
  Revised few(ranged);
  few.healed({18, 28, 29, 34});
  const Revision left = few.revise();
  CHECK(find(left.steps, "length of healing") == nullptr);
  REQUIRE(find(left.left, "length of healing") != nullptr);
  CHECK(has(find(left.left, "length of healing")->behind, "too few"));
}

TEST_CASE("a record that teaches nothing changes nothing") {
  Revised season;
  season.batch("A");
  const auto next = season.revise();
  REQUIRE(next.problem == "");
  CHECK(next.steps.empty());
  const Revision unknown = season.revise("splice");
  CHECK(unknown.protocol == nullptr);
  CHECK(has(unknown.problem, "no variant `splice`"));
}
