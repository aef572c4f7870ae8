#include "report/results/replicates_report.hpp"

#include <fmt/format.h>

#include <cmath>
#include <ostream>

#include "report/formats/csv.hpp"
#include "report/formats/json.hpp"
#include "report/formats/wording.hpp"

namespace budwood::report {

namespace {

using results::SeedTest;

std::string counts_text(const SeedTest& test) {
  std::vector<std::string> counts;
  for (const std::int64_t count : test.counts) counts.push_back(std::to_string(count));
  return joined(counts, " ");
}

const char* verdict(const SeedTest& test) {
  if (!test.allowed) return "no table";
  return test.repeat() ? "test again" : "stands";
}

/// "1 in 42"
std::string luck_text(double chance) {
  if (chance > 0.5) return "often";
  return chance < 0.001 ? "under 1 in 1000" : fmt::format("1 in {:.0f}", 1 / chance);
}

void write_seed_table(std::ostream& out, const std::vector<SeedTest>& tests, const Style& style) {
  using Kind = Table::Kind;
  Table table({{"Batch", Kind::entry},
               {"Stage", Kind::text},
               {"Of 100", Kind::entry},
               {"Mean", Kind::number},
               {"Range", Kind::number},
               {"Allowed", Kind::number},
               {"By luck", Kind::entry},
               {"The test", Kind::entry},
               {"Usual", Kind::number}});
  for (const SeedTest& test : tests) {
    table.add({test.batch, test.title, counts_text(test), fmt::format("{:.1f} %", test.mean),
               std::to_string(test.range), test.allowed ? std::to_string(*test.allowed) : "-",
               luck_text(test.chance), verdict(test),
               fmt::format("{:.0f} %{}", test.usual, test.differs() ? " differs" : "")});
  }
  table.write(out, style);
  const std::string note =
      "Allowed: how far apart replicates of 100 seeds may lie (7 CFR 201.55, Federal Seed Act; a "
      "range equal to it passes; the table is kept for means from 70 to 99 and from 2 to 31 %). "
      "By luck: how often so wide a range or a wider one comes from one lot well mixed, given how "
      "many germinated in all. Differs: the mean and the usual share lie further apart than two "
      "tests may (7 CFR 201.63).";
  for (const std::string& line : wrap(note, style.width)) out << line << '\n';
}

void write_seed_csv(std::ostream& out, const std::vector<SeedTest>& tests) {
  Csv csv(out);
  for (const char* head : {"batch", "stage", "counts", "mean", "range", "allowed", "chance",
                           "verdict", "usual", "allowed_difference"}) {
    csv.text(head);
  }
  csv.end_row();
  for (const SeedTest& test : tests) {
    csv.text(test.batch).text(test.stage).text(counts_text(test)).number(test.mean);
    csv.number(static_cast<double>(test.range));
    csv.number(test.allowed ? *test.allowed : std::nan("")).number(test.chance);
    csv.text(verdict(test)).number(test.usual).number(test.allowed_difference).end_row();
  }
}

void write_seed_json(std::ostream& out, const std::vector<SeedTest>& tests) {
  {
    JsonWriter json(out);
    json.begin_object(JsonWriter::Layout::lines);
    json.begin_list("tests", JsonWriter::Layout::lines);
    for (const SeedTest& test : tests) {
      json.begin_object();
      json.text("batch", test.batch);
      json.text("stage", test.stage);
      json.text("counts", counts_text(test));
      json.number("mean", test.mean);
      json.number("range", static_cast<double>(test.range));
      json.number("allowed", test.allowed ? *test.allowed : std::nan(""));
      json.number("chance", test.chance);
      json.text("verdict", verdict(test));
      json.number("usual", test.usual);
      json.number("allowed_difference", test.allowed_difference);
      json.end();
    }
    json.end();
    json.end();
  }
  out << '\n';
}

}  // namespace

void write_replicates(std::ostream& out, const std::vector<SeedTest>& tests, Format format,
                      const Style& style) {
  switch (format) {
    case Format::table:
      return write_seed_table(out, tests, style);
    case Format::csv:
      return write_seed_csv(out, tests);
    case Format::json:
      return write_seed_json(out, tests);
  }
}

}  // namespace budwood::report
