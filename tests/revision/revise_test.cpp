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
  Revised() { book().today = *calendar::parse_iso_date("2027-08-01"); }

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

TEST_CASE("lengths: the usual one moves, the range only widens") {
  Revised season;
  const std::string text = bark_grafts;
  const int days[] = {24, 25, 26, 27, 31};
  int i = 0;
  for (const int one : days) {
    book::Batch& batch = season.batch("L" + std::to_string(i++));
    const calendar::Day start = *calendar::parse_iso_date("2027-05-01");
    using Side = book::Pin::Side;
    batch.pins.push_back({"healing", Side::start, start, {}, true});
    batch.pins.push_back({"healing", Side::end, start + one, {}, true});
  }
  const auto next = season.revise();
  REQUIRE(next.problem == "");
  const Step* healing = find(next.steps, "length of healing");
  REQUIRE(healing != nullptr);
  CHECK(healing->before == "20 days");
  CHECK(healing->after == "26 days");
  CHECK(has(next.content, "    lasts 26 days\n"));
  CHECK(has(next.content, "    note \"Edition 3: length of healing is 26 days, before 20 days; "));
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
