#include <doctest/doctest.h>

#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;
namespace text = budwood::text;

namespace {

struct ReadBatches {
  std::vector<Batch> batches;
  std::string problems;
};

ReadBatches read(const std::string& batches) {
  const Folder folder;
  folder.write("site.yaml", "site: N\n");
  folder.write("batches.yaml", "batches:\n" + batches);
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto book = read_book(folder.path(), sources, diagnostics);
  ReadBatches out;
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    if (d.severity == text::Severity::error) out.problems += d.code + " ";
  }
  if (book) out.batches = book->batches;
  return out;
}

}  // namespace

TEST_CASE("a batch of several cultivars is a batch for each") {
  const ReadBatches found = read(
      "  - {batch: SP, protocol: p, cultivars: {Bonita: 200, 'Rex 2': 100}, ready: 2027-05-07}\n");
  REQUIRE(found.batches.size() == 2);
  CHECK(found.batches[0].id.value == "SP-c1");
  CHECK(found.batches[0].cultivar == "Bonita");
  CHECK(found.batches[0].split_from == "SP");
  CHECK(found.batches[1].split_from == "SP");
  CHECK(found.batches[0].plants.value == 200);
  CHECK(found.batches[0].lead);
  CHECK(found.batches[1].id.value == "SP-c2");
  CHECK(found.batches[1].cultivar == "Rex 2");
  CHECK_FALSE(found.batches[1].lead);
}

TEST_CASE("cultivars in a series") {
  const ReadBatches found = read(
      "  - {batch: SP, protocol: p, cultivars: {A: 2, B: 1}, ready: 2027-05-07, every: 7 days, "
      "times: "
      "2}\n");
  REQUIRE(found.batches.size() == 4);
  CHECK(found.batches[3].id.value == "SP-2-c2");
  CHECK(found.batches[2].lead);
}

TEST_CASE("cultivars that cannot be") {
  const auto problems = [](const std::string& keys) {
    return read("  - {batch: SP, protocol: p, ready: 2027-05-07, " + keys + "}\n").problems;
  };
  CHECK(problems("cultivars: {A: 2}, plants: 3").starts_with("two-counts"));
  CHECK(problems("cultivars: {A: 0}").starts_with("out-of-range"));
  CHECK(problems("cultivars: {A: many}").starts_with("wrong-value"));
  CHECK(problems("cultivars: {}").starts_with("wrong-"));
  CHECK(problems("cultivars: [A, B]").starts_with("wrong-"));
  CHECK(problems("cultivars: {A: 1, A: 2}").starts_with("duplicate-key"));
}
