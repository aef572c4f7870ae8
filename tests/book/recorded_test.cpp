#include "book/batches/batch.hpp"
#include "book/yaml/single_values.hpp"
#include "book_folder.hpp"

namespace budwood::book::test {

namespace {

std::string batch_with(const std::string& line) {
  return "batches:\n  - batch: A1\n    protocol: bench_graft\n    plants: 6\n    ready: "
         "2027-05-10\n"
         "    " +
         line + "\n";
}

Batch read_one(const std::string& line) {
  Outcome outcome;
  read(small_site, batch_with(line), outcome);
  const bool hinted = line.starts_with("recorded") || line.find(" recorded:") != std::string::npos;
  REQUIRE(outcome.problems.size() == (hinted ? 1 : 0));
  if (hinted) CHECK(joined(outcome.problems).find("note kept-in-batches") != std::string::npos);
  REQUIRE(outcome.book->batches.size() == 1);
  return outcome.book->batches.front();
}

}  // namespace

TEST_CASE("what was seen and counted is kept apart from what is wanted") {
  const Batch batch = read_one("recorded: {budding.start: 2027-04-02, budding.left: 412}");
  REQUIRE(batch.pins.size() == 1);
  CHECK(batch.pins[0].stage == "budding");
  CHECK(batch.pins[0].side == Pin::Side::start);
  CHECK(calendar::iso_date(batch.pins[0].day) == "2027-04-02");
  CHECK(batch.pins[0].recorded);
  REQUIRE(batch.counted.size() == 1);
  CHECK(batch.counted[0].stage == "budding");
  CHECK(batch.counted[0].plants == 412);
  CHECK_FALSE(read_one("pins: {budding.start: 2027-04-02}").pins[0].recorded);
}

TEST_CASE("what was recorded goes before a pin of the same date") {
  const Batch batch = read_one(
      "pins: {budding.start: 2027-04-02, budding.end: 2027-04-09}\n"
      "    recorded: {budding.start: 2027-04-04}");
  REQUIRE(batch.pins.size() == 2);
  CHECK(batch.pins[0].side == Pin::Side::end);
  CHECK_FALSE(batch.pins[0].recorded);
  CHECK(calendar::iso_date(batch.pins[1].day) == "2027-04-04");
  CHECK(batch.pins[1].recorded);
}

TEST_CASE("wrong records are named at their place") {
  const struct {
    const char* line;
    const char* problem;
  } mistakes[] = {
      {"recorded: yes", "wrong-value"},
      {"recorded: {budding: 2027-04-02}", "bad-pin"},
      {"recorded: {budding.lost: 12}", "bad-pin"},
      {"recorded: {budding.start: 12}", "wrong-value"},
      {"recorded: {budding.start: 2027-02-30}", "no-such-date"},
      {"recorded: {budding.left: 2027-04-02}", "wrong-value"},
      {"recorded: {budding.left: -1}", "out-of-range"},
      {"recorded: {budding.left: 10000001}", "out-of-range"},
      {"recorded: {budding.left: 1.5}", "wrong-value"},
      {"recorded: {budding.left: 6}\n    every: 7 days\n    times: 2", "pins-in-series"},
  };
  for (const auto& mistake : mistakes) {
    CAPTURE(mistake.line);
    const auto problems = problems_of_batches(batch_with(mistake.line));
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].find(std::string("error ") + mistake.problem) != std::string::npos);
  }
}

TEST_CASE("plants of several cultivars cannot be told apart by one count") {
  const auto problems = problems_of_batches(
      "batches:\n  - {batch: A1, protocol: bench_graft, ready: 2027-05-10, cultivars: {Bonita: 20, "
      "Rex: 10}, recorded: {budding.left: 25}}\n");
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].find("two-counts") != std::string::npos);
}

TEST_CASE("single values are held to the ranges of the files") {
  text::Sources sources;
  const text::Source& source = sources.add("--set", "x");
  const auto tried = [&](auto read, const std::string& text) {
    text::Diagnostics diagnostics;
    const bool found = read(SingleValue{text, {&source, 0, 1}}, diagnostics).has_value();
    CHECK(found != diagnostics.has_errors());
    return found;
  };
  const auto plants = [](const SingleValue& v, text::Diagnostics& d) { return read_plants(v, d); };
  CHECK(tried(plants, "600"));
  CHECK(tried(plants, "600 plants"));
  CHECK_FALSE(tried(plants, "0"));
  CHECK_FALSE(tried(plants, "600 trays"));
  CHECK_FALSE(tried(plants, ""));
  const auto sure = [](const SingleValue& v, text::Diagnostics& d) { return read_sure(v, d); };
  CHECK(tried(sure, "90 %"));
  CHECK_FALSE(tried(sure, "100 %"));
  const auto hours = [](const SingleValue& v, text::Diagnostics& d) { return read_hours(v, d); };
  CHECK(tried(hours, "24 h"));
  CHECK_FALSE(tried(hours, "24.1 h"));
  CHECK_FALSE(tried(hours, "0 h"));
  const auto people = [](const SingleValue& v, text::Diagnostics& d) { return read_people(v, d); };
  CHECK(tried(people, "1"));
  CHECK_FALSE(tried(people, "0"));
  const auto closed = [](const SingleValue& v, text::Diagnostics& d) { return read_closed(v, d); };
  CHECK(tried(closed, "2027-03-04 to 2027-03-08"));
  CHECK_FALSE(tried(closed, "2027-03-08 to 2027-03-04"));
}

}  // namespace budwood::book::test
