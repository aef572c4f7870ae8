#include <doctest/doctest.h>

#include <algorithm>

#include "../report/sample_plan.hpp"
#include "drawing/drawing.hpp"
#include "paper/labels/label_text.hpp"
#include "paper/paper.hpp"

using namespace budwood;
using namespace budwood::paper;
using budwood::report::test::SamplePlan;

namespace {

bool has_line(const Label& label, const std::string& line) {
  return std::find(label.lines.begin(), label.lines.end(), line) != label.lines.end();
}

}  // namespace

TEST_CASE("a batch has one label, with its dates") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14").cultivar = "Bonita";
  book.add_batch("L2", 40, "2027-05-28");
  const std::vector<Label> labels = labels_of(book.plan(), {}, LabelKind::batches);
  REQUIRE(labels.size() == 2);
  CHECK(labels[0].code == "L1");
  CHECK(labels[0].heading == "Bonita, streptocarpus");
  CHECK(has_line(labels[0], "80 plants, ready 2027-05-14"));
  CHECK(has_line(labels[0], "Started 2027-04-22 (planned)"));
  CHECK(has_line(labels[0], "Leaf cuttings, edition 3"));
}

TEST_CASE("trays are counted through, each with the order that takes it") {
  SamplePlan book;
  book.add_batch("L1", 80, "2027-05-14");
  const std::vector<Label> labels = labels_of(book.plan(), {}, LabelKind::trays);
  // 80 plants of which 20 % are lost on the way: 100 leaves, 40 in a tray.
  REQUIRE(labels.size() == 3);
  CHECK(labels[0].code == "L1/rooting/1/1");
  CHECK(labels[0].name == "L1  Tray 1 of 3");
  CHECK(labels[2].name == "L1  Tray 3 of 3");
  CHECK(has_line(labels[0], "40 of 100 plants, ready 2027-05-14"));
  CHECK(has_line(labels[2], "20 of 100 plants, ready 2027-05-14"));
  CHECK(has_line(labels[0], "Rooting"));
}

TEST_CASE("an arm of a trial has a label for each of its trays, which does not say what it is") {
  SamplePlan book;
  book::Batch& batch = book.add_batch("T-B", 80, "2027-05-14");
  batch.trial =
      book::Trial{"T", "wounded", 'B', 2, 2, 2, book::draw_trays(2, 2, {"left", "right"}, 3), {}};
  // Asked for as labels of trays they are the same: a tray has one number, the one that was drawn.
  for (const LabelKind kind : {LabelKind::batches, LabelKind::trays}) {
    const std::vector<Label> labels = labels_of(book.plan(), {}, kind);
    REQUIRE(labels.size() == 2);
    CHECK(labels[0].code == "T-B");
    CHECK(labels[0].lines.front() == "Trial T, arm B, left");
    CHECK(labels[1].lines.front() == "Trial T, arm B, right");
    CHECK(labels[0].name.starts_with("T-B  Tray "));
    for (const Label& label : labels) {
      for (const std::string& line : label.lines) {
        CHECK(line.find("wounded") == std::string::npos);
        CHECK(line.find("edition") == std::string::npos);
      }
    }
  }
}

TEST_CASE("what was recorded is no longer planned") {
  SamplePlan book;
  book::Batch& batch = book.add_batch("L1", 80, "2027-05-14");
  batch.pins.push_back(
      {"rooting", book::Pin::Side::start, *calendar::parse_iso_date("2027-04-20"), {}, true});
  const std::vector<Label> labels = labels_of(book.plan(), {}, LabelKind::batches);
  REQUIRE(labels.size() == 1);
  CHECK(has_line(labels[0], "Started 2027-04-20"));
}

TEST_CASE("a batch and its trays say the same day of sowing, some days after its stage began") {
  SamplePlan book(R"(protocol p "P" {
    supply tray in trays
    part plant
    stage raising of plant {
      lasts 5 days
      do "Sow" on day 1 within 3 days { time 1 h  crew growers  tagged sowing  use 1 tray per 40 }
    }
  })");
  book.add_batch("L1", 80, "2027-05-13");  // it begins on a Saturday
  const std::string sown = "Sown 2027-05-10 (planned)";
  CHECK(has_line(labels_of(book.plan(), {}, LabelKind::batches).front(), sown));
  CHECK(has_line(labels_of(book.plan(), {}, LabelKind::trays).front(), sown));
}

TEST_CASE("batches without trays are named") {
  SamplePlan book(report::test::protocol_with_title("Look"));
  book.add_batch("P1", 10, "2027-05-14");
  std::vector<std::string> refused;
  CHECK(labels_of(book.plan(), {}, LabelKind::trays, &refused).empty());
  CHECK(refused == std::vector<std::string>{"P1"});
}

TEST_CASE("labels that are gone from the first sheet move the others on") {
  LabelPages pages{usual_label_sheet(), 0};
  CHECK(sheets_of(0, pages) == 0);
  CHECK(sheets_of(24, pages) == 1);
  CHECK(sheets_of(25, pages) == 2);
  pages.skip = 1;
  CHECK(sheets_of(24, pages) == 2);
  std::ostringstream first;
  write_labels_svg(first, {{"A", "A", "", {}}}, pages, 1);
  // Past one label of 64 mm and the margin at the left.
  CHECK(first.str().find("<svg x=\"73\" y=\"12.5\"") != std::string::npos);
  CHECK(first.str().find("<svg x=\"9\"") == std::string::npos);
}

TEST_CASE("text that fits is as large as can be") {
  const auto lines = fit_text({{"Rose", true, 1}}, 60, 30, {3.6, 1.7});
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].size == 3.6);
  CHECK(lines[0].text == "Rose");
}

TEST_CASE("text that is long shrinks, then ends in an ellipsis, and never leaves its space") {
  const std::vector<std::string> texts = {
      "Whip-and-tongue grafted apple on a dwarfing stock, second selection",
      std::string(10000, 'W'), std::string(3000, ' ') + "x",
      "\U0001F331\U0001F331 \u82F9\u679C\u6811\u82D7\u82F9\u679C\u6811\u82D7"};
  for (const std::string& text : texts) {
    for (const double width : {12.0, 36.0, 90.0}) {
      for (const double height : {5.0, 12.0, 30.0}) {
        const auto lines = fit_text({{text, true, 1.25}, {text, false, 1}, {"Ready", false, 1}},
                                    width, height, {3.6, 1.7});
        CHECK_FALSE(lines.empty());
        double above = 0;
        for (const PlacedLine& line : lines) {
          drawing::TextStyle style;
          style.size = line.size;
          style.bold = line.bold;
          CHECK(drawing::text_width(line.text, style) <= width + 1e-9);
          CHECK(line.size >= 1.7);
          CHECK(line.baseline - 0.95 * line.size >= above - 1e-9);
          above = line.baseline + 0.25 * line.size;
          CHECK(above <= height + 1e-9);
        }
      }
    }
  }
  const auto cut = fit_text({{texts[0], false, 1}}, 20, 3, {3.6, 1.7});
  REQUIRE(cut.size() == 1);
  CHECK(cut[0].text.ends_with("\u2026"));
}

TEST_CASE(
    "the label of a tray says what stands in it, and each pot of the finished plants has one") {
  SamplePlan book(R"(protocol p "P" {
    crop "melon"
    supply tray in trays reused
    supply pot in pots
    part squash "Squash stock"  part melon "Melon scion"  part plant "Grafted melon"
    stage sow_squash of squash {
      lasts 9 days
      do "Fill" on day 1 { use 1 tray per 50 }
      do "Sow" on day 1 { tagged sowing }
    }
    stage sow_melon of melon { lasts 9 days  do "Sow" on day 1 { use 1 tray per 50 tagged sowing } }
    stage graft joins melon with squash into plant {
      lasts 2 days
      do "Graft and pot" on day 1 { use 1 pot each  tagged grafting }
    }
  })");
  book.add_batch("M1", 60, "2027-05-14");
  const std::vector<Label> trays = labels_of(book.plan(), {}, LabelKind::trays);
  REQUIRE(trays.size() == 4);
  int squash = 0;
  for (const Label& one : trays) {
    CHECK(one.heading != "melon");
    CHECK(has_line(one, "For melon"));
    CHECK(one.lines[1].starts_with("Sown "));
    squash += one.heading == "Squash stock" ? 1 : 0;
  }
  CHECK(squash == 2);
  const std::vector<Label> pots = labels_of(book.plan(), {}, LabelKind::pots);
  REQUIRE(pots.size() == 60);
  CHECK(pots[0].name == "M1  Pot 1 of 60");
  CHECK(pots[0].heading == "melon");
  CHECK(pots[0].lines[1].starts_with("Grafted "));
}
