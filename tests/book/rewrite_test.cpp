#include "book/write/rewrite.hpp"

#include <doctest/doctest.h>

#include <random>

#include "book/book.hpp"
#include "book/write/scalars.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "book_folder.hpp"

/// Values that are written back into batches.yaml: only the bytes of the value are others.
namespace budwood::book {

namespace {

const char* const written =
    "# The season.\n"
    "batches:\n"
    "  - batch: A1          # the first\n"
    "    protocol: bench_graft edition 1\n"
    "    plants: 240        # as ordered\n"
    "    ready: 2027-05-07\n"
    "    set: {graft_speed: 30 per hour, take: 75 %}   # new people\n"
    "    note: |\n"
    "      two lines\n"
    "      of a note\n"
    "  - {batch: A2, protocol: bench_graft, plants: \"400\", sure: 90 %, start: 2027-01-11}\n"
    "  - batch: A3\n"
    "    protocol: bench_graft\n"
    "    plants: 150\n"
    "    not_before: 2027-04-12\n"
    "    pins:\n"
    "      grafting.start: 2027-04-20   # hands\n"
    "      healing.end: 2027-05-02\n"
    "    set:\n"
    "      take: 70 %\n";

std::string after(const std::vector<Rewrite>& changes) {
  BatchesText text(written);
  CHECK(text.rewrite(changes) == "");
  return text.text();
}

std::string refusal(const Rewrite& change) {
  BatchesText text(written);
  const std::string out = text.rewrite({change});
  CHECK(text.is(written));
  return out;
}

/// The text with one piece replaced by another.
std::string with(std::string text, const std::string& old, const std::string& fresh) {
  const std::size_t at = text.find(old);
  REQUIRE(at != std::string::npos);
  return text.replace(at, old.size(), fresh);
}

}  // namespace

TEST_CASE("quotes and backslashes of a text come back as they were written") {
  CHECK(as_scalar("row 4") == "row 4");
  for (const std::string text : {"a\\b", "\"own\" row", "C:\\new", "two\nlines", "\\"}) {
    CAPTURE(text);
    text::Sources sources;
    text::Diagnostics diagnostics;
    const auto tree =
        read_tree(sources.add("t.yaml", "note: " + as_scalar(text) + "\n"), diagnostics);
    REQUIRE(tree);
    CHECK(tree->find("note")->value == text);
  }
}

TEST_CASE("a value is replaced where it stands, and nothing else changes") {
  CHECK(after({{"A1", {"plants"}, "260"}}) == with(written, "240 ", "260 "));
  CHECK(after({{"A1", {"set", "take"}, "80 %"}}) == with(written, "take: 75 %", "take: 80 %"));
  CHECK(after({{"A2", {"plants"}, "410"}}) == with(written, "\"400\"", "410"));
  CHECK(after({{"A3", {"pins", "grafting.start"}, "2027-04-21"}}) ==
        with(written, "2027-04-20 ", "2027-04-21 "));
}

TEST_CASE("a batch has one date: another kind of date takes its place") {
  CHECK(after({{"A1", {"start"}, "2027-02-01"}}) ==
        with(written, "ready: 2027-05-07", "start: 2027-02-01"));
  CHECK(after({{"A2", {"ready"}, "2027-06-01"}}) ==
        with(written, "start: 2027-01-11", "ready: 2027-06-01"));
}

TEST_CASE("a value that was not there gets a place that fits the lines around it") {
  CHECK(after({{"A1", {"sure"}, "90 %"}}) ==
        with(written, "# new people\n", "# new people\n    sure: 90 %\n"));
  CHECK(after({{"A2", {"set", "take"}, "80 %"}}) ==
        with(written, "start: 2027-01-11}", "start: 2027-01-11, set: {take: 80 %}}"));
  CHECK(after({{"A3", {"pins", "rooting.end"}, "2027-05-20"}}) ==
        with(written, "2027-05-02\n", "2027-05-02\n      rooting.end: 2027-05-20\n"));
  CHECK(after({{"A1", {"set", "losses"}, "3 %"}}) ==
        with(written, "take: 75 %}", "take: 75 %, losses: 3 %}"));
}

TEST_CASE("a value that is given up goes, and comments stay") {
  CHECK(after({{"A1", {"set", "graft_speed"}, std::nullopt}}) ==
        with(written, "{graft_speed: 30 per hour, take: 75 %}", "{take: 75 %}"));
  CHECK(after({{"A1", {"set", "take"}, std::nullopt}}) == with(written, ", take: 75 %}", "}"));
  CHECK(after({{"A3", {"pins", "grafting.start"}, std::nullopt}}) ==
        with(written, "grafting.start: 2027-04-20   # hands", "# hands"));
  CHECK(after({{"A3", {"set", "take"}, std::nullopt}}) ==
        with(written, "    set:\n      take: 70 %\n", ""));
  CHECK(after({{"A2", {"sure"}, std::nullopt}}) == with(written, ", sure: 90 %", ""));
  CHECK(after({{"A2", {"set", "take"}, std::nullopt}}) == written);
}

TEST_CASE("what cannot be changed alone is refused, and all of the changes with it") {
  CHECK(refusal({"B7", {"plants"}, "5"}) ==
        "`B7` does not stand by itself in batches.yaml: change it there.");
  CHECK(refusal({"A1", {"note"}, "other"}).find("is written in a way") != std::string::npos);
  BatchesText text(written);
  CHECK(text.rewrite({{"A1", {"plants"}, "260"}, {"B7", {"plants"}, "5"}}) != "");
  CHECK(text.text() == written);
}

TEST_CASE(
    "a batch is changed alone, whatever stands around the batches and however they are listed") {
  const std::string around =
      "sure: 90 %\nbatches:\n- batch: A1\n  plants: 5\n# next\n- batch: A2\n  plants: 6\nnotes: "
      "x\n";
  BatchesText text(around);
  CHECK(text.rewrite(
            {{"A2", {"plants"}, "7"}, {"A1", {"plants"}, "8"}, {"A2", {"sure"}, "80 %"}}) == "");
  CHECK(text.text() ==
        with(with(around, "plants: 6", "plants: 7\n  sure: 80 %"), "plants: 5", "plants: 8"));
  CHECK(!text.is(around));
  CHECK(text.is(text.text()));
  for (const char* const listed : {"batches: [{batch: A1, plants: 5}, {batch: A2, plants: 6}]\n",
                                   "batches:\n  -\n    batch: A1\n    plants: 5\n"}) {
    BatchesText flow(listed);
    CHECK(flow.rewrite({{"A1", {"plants"}, "8"}}) == "");
    CHECK(flow.text() == with(listed, "plants: 5", "plants: 8"));
    CHECK(flow.rewrite({{"A3", {"plants"}, "8"}}) != "");
  }
  BatchesText nothing;
  CHECK(nothing.is(""));
  CHECK(nothing.rewrite({{"A1", {"plants"}, "8"}}) != "");
}

TEST_CASE("whatever a value holds, it is read back as it was") {
  for (const char* const value : {"a: b # c", "C:\\new \"row\" # 'x'", "- x", "", "12 \\ # 3"}) {
    CAPTURE(value);
    BatchesText text(written);
    CHECK(text.rewrite({{"A1", {"set", "take"}, value}}) == "");
    CHECK(text.written_value("A1", {"set", "take"}) == value);
  }
}

TEST_CASE("ends of lines stay as they are") {
  BatchesText text("batches:\r\n  - batch: A1\r\n    plants: 240\r\n");
  CHECK(text.rewrite({{"A1", {"sure"}, "90 %"}}) == "");
  CHECK(text.text() == "batches:\r\n  - batch: A1\r\n    plants: 240\r\n    sure: 90 %\r\n");
}

TEST_CASE("what was put back is what was there, whatever was changed and in whatever order") {
  struct Place {
    const char* batch;
    std::vector<std::string> keys;
    const char* old;
  };
  const std::vector<Place> places = {{"A1", {"plants"}, "240"},
                                     {"A1", {"set", "take"}, "75 %"},
                                     {"A1", {"ready"}, "2027-05-07"},
                                     {"A2", {"sure"}, "90 %"},
                                     {"A3", {"pins", "healing.end"}, "2027-05-02"},
                                     {"A3", {"set", "take"}, "70 %"}};
  std::mt19937 random(20270301);
  for (int round = 0; round < 300; ++round) {
    BatchesText text(written);
    std::vector<bool> changed(places.size());
    for (int step = 0; step < 6; ++step) {
      const std::size_t one = random() % places.size();
      const std::string value = "\"" + std::to_string(random() % 1000) + "\" # '";
      const bool odd = random() % 4 == 0;
      const std::string plain = std::to_string(random() % 1000) + " %";
      const std::string& wanted = odd ? value : plain;
      REQUIRE(text.rewrite({{places[one].batch, places[one].keys, wanted}}) == "");
      REQUIRE(text.written_value(places[one].batch, places[one].keys) == wanted);
      changed[one] = true;
    }
    for (std::size_t one = 0; one < places.size(); ++one) {
      REQUIRE(text.written_value(places[one].batch, places[one].keys).has_value());
      REQUIRE(text.rewrite({{places[one].batch, places[one].keys, places[one].old}}) == "");
    }
    REQUIRE(text.is(written));
  }
}

TEST_CASE("a batch is added behind the others, laid out as they are") {
  Batch batch;
  batch.id.value = "A4";
  batch.protocol.value = "bench_graft";
  batch.plants.value = 60;
  batch.ready = Placed<calendar::Day>{*calendar::parse_iso_date("2027-08-01"), {}};
  std::string text = written;
  CHECK(append_batch(text, batch) == "");
  CHECK(text == std::string(written) +
                    "  - batch: A4\n    protocol: bench_graft\n    plants: 60\n"
                    "    ready: 2027-08-01\n");
  std::string flush = "batches:\n- batch: A1\n  plants: 5";
  CHECK(append_batch(flush, batch) == "");
  CHECK(flush ==
        "batches:\n- batch: A1\n  plants: 5\n- batch: A4\n  protocol: bench_graft\n  plants: 60\n"
        "  ready: 2027-08-01\n");
  std::string flow = "batches: [{batch: A1, plants: 5}]\n";
  CHECK(append_batch(flow, batch) != "");
  CHECK(flow == "batches: [{batch: A1, plants: 5}]\n");
}

}  // namespace budwood::book
