#include <doctest/doctest.h>

#include "record/json.hpp"

namespace budwood::record::test {

namespace {

Entry full() {
  Entry out;
  out.id = "k7m2q9x4t3v8b5n6";
  out.noted = *parse_moment("2027-04-08T07:31:22.123Z");
  out.turn = out.noted + 3;
  out.day = *calendar::parse_iso_date("2027-04-08");
  out.by = "Zoë \"Z\" Ruiz";
  out.batch = "BM27-1";
  out.place = "grafting/2/1";
  out.what = What::done;
  out.number = 291;
  out.of = 300;
  out.unit = "plants";
  out.seconds = 22200.1;
  out.tray = "7";
  out.used = {{0.1, "m", "tape"}, {3, "", "clip"}};
  out.words = "with a \\ and \t";
  out.words = "with a \\ and ä";
  out.corrects = "a7m2q9x4t3v8b5n6";
  return out;
}

std::string code_of(const std::string& text) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto entries = read_json_lines(sources.add("x.jsonl", text), diagnostics);
  CHECK(entries.empty());
  return diagnostics.empty() ? "" : diagnostics.sorted().front().code;
}

}  // namespace

TEST_CASE("an entry written as JSON and read again is the same entry") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  Entry bare = full();
  bare.by = bare.tray = bare.words = bare.corrects = "";
  bare.number = bare.of = bare.seconds = std::nullopt;
  bare.used.clear();
  const std::string text = json_of(full()) + "\n\n" + json_of(bare) + "\r\n";
  const auto again = read_json_lines(sources.add("x.jsonl", text), diagnostics);
  CHECK(diagnostics.empty());
  CHECK(again == std::vector<Entry>{full(), bare});
}

TEST_CASE("moments are those of the calendar") {
  CHECK(moment_text(0) == "1970-01-01T00:00:00.000Z");
  CHECK(moment_text(*parse_moment("2199-12-31T23:59:59.999Z")) == "2199-12-31T23:59:59.999Z");
  CHECK_FALSE(parse_moment("2027-02-30T00:00:00.000Z"));
  CHECK_FALSE(parse_moment("2027-02-03T24:00:00.000Z"));
  CHECK_FALSE(parse_moment("2027-02-03T23:00:00Z"));
}

TEST_CASE("lines that are no entries are told") {
  const std::string right = json_of(full());
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string out = right;
    const std::size_t at = out.find(from);
    REQUIRE(at != std::string::npos);
    return code_of(out.replace(at, from.size(), to));
  };
  CHECK(code_of("grafting done") == "not-json");
  CHECK(code_of("[1]") == "not-json");
  CHECK(code_of(std::string(100'000, '[')) == "not-json");
  CHECK(code_of("{}") == "bad-entry");
  CHECK(with("\"done\"", "\"dnoe\"") == "bad-entry");
  CHECK(with("\"tray\"", "\"bench\"") == "bad-entry");
  CHECK(with("\"7\"", "7") == "bad-entry");
  CHECK(with("291", "-291") == "bad-entry");
  CHECK(with("291", "301") == "bad-entry");
  CHECK(with("291", "1e400") == "not-json");
  CHECK(with("2027-04-08T", "2027-04-31T") == "bad-entry");
  CHECK(with("\"day\":\"2027-04-08\"", "\"day\":\"2027-04-31\"") == "bad-entry");
  CHECK(with("k7m2q9x4t3v8b5n6", "k7m2") == "bad-entry");
  const std::string turn = "\"turn\":" + std::to_string(full().turn);
  for (const char* wrong :
       {"1.5", "-1", "14516236800001", "9223372036854775807", "18446744073709551615"}) {
    CAPTURE(wrong);
    CHECK(with(turn, std::string("\"turn\":") + wrong) == "bad-entry");
  }
  CHECK(with("BM27-1", "") == "bad-entry");
  CHECK(with("\"amount\":0.1", "\"amount\":\"0.1\"") == "bad-entry");
}

TEST_CASE("turns of older exports become moments") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  Entry old = full();
  old.turn = 12;
  Entry next = full();
  next.id = "a7m2q9x4t3v8b5n6";
  next.turn = 13;
  const auto read =
      read_json_lines(sources.add("x.jsonl", json_of(old) + "\n" + json_of(next)), diagnostics);
  REQUIRE(read.size() == 2);
  CHECK(read[0].turn == old.noted);
  CHECK(read[1].turn == old.noted + 1);
}

namespace {

Entry of(What what, const std::string& place, const std::string& words = "") {
  Entry out;
  out.id = "k7m2q9x4t3v8b5n6";
  out.batch = "BM27-1";
  out.what = what;
  out.place = place;
  out.words = words;
  out.name = what == What::seen || what == What::not_seen ? "callus" : "";
  if (what == What::counted || what == What::lost) out.number = 3;
  return out;
}

Entry of_stock(What what) {
  Entry out = of(what, "", "mouldy");
  out.batch = "";
  out.name = "mix";
  out.number = 3;
  return out;
}

}  // namespace

TEST_CASE("an entry says of what it is, and how much") {
  const struct {
    What what;
    const char* right;
    std::vector<const char*> wrong;
  } places[] = {
      {What::done, "s/1/1", {"", "s", "s/1", "s/1/1/1"}},
      {What::left_out, "s/1", {"", "s/1/1/1"}},
      {What::started, "s", {"", "s/1", "s/1/1"}},
      {What::ended, "s", {"", "s/1"}},
      {What::counted, "s", {"", "s/1"}},
      {What::lost, "", {"s/1"}},
      {What::seen, "s", {"s/1"}},
      {What::not_seen, "", {"s/1"}},
      {What::stopped, "", {"s"}},
      {What::note, "s/1/1", {"s/1/1/1"}},
      {What::lesson, "s", {"s/1/1/1"}},
  };
  for (const auto& [what, right, wrong] : places) {
    CAPTURE(word(what));
    CHECK(fault_of(of(what, right, "why")) == "");
    for (const char* place : wrong) {
      CAPTURE(place);
      CHECK(fault_of(of(what, place, "why")) != "");
    }
    CHECK((fault_of(of(what, right)) == "") == !needs_words(what));
  }
  for (const What what : {What::stock, What::came_in, What::thrown_out}) {
    CAPTURE(word(what));
    Entry entry = of_stock(what);
    CHECK(fault_of(entry) == "");
    entry.number.reset();
    CHECK(fault_of(entry) != "");
    entry = of_stock(what);
    entry.name = "";
    CHECK(fault_of(entry) != "");
    entry = of_stock(what);
    entry.place = "s";
    CHECK(fault_of(entry) != "");
  }
  Entry sight = of(What::seen, "s");
  sight.name = "";
  CHECK(fault_of(sight) != "");
  Entry count = of(What::counted, "s");
  count.number.reset();
  CHECK(fault_of(count) != "");
}

TEST_CASE("texts are limited by their letters, in whatever writing") {
  Entry entry = of(What::note, "", "");
  for (int i = 0; i < 2000; ++i) entry.words += "ж";
  CHECK(fault_of(entry) == "");
  entry.words += "ж";
  CHECK(find_fault(entry).piece == Fault::Piece::words);
  entry.words = "x";
  for (int i = 0; i < 200; ++i) entry.by += "ö";
  CHECK(fault_of(entry) == "");
  entry.by += "ö";
  CHECK(find_fault(entry).piece == Fault::Piece::by);
}

}  // namespace budwood::record::test
