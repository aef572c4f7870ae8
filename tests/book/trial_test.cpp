#include <map>

#include "book/batches/trial.hpp"
#include "book_folder.hpp"

/// Trials as a book writes them.
using namespace budwood;
using namespace budwood::book;
using namespace budwood::book::test;

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

TEST_CASE("each arm is a batch of its own, under a letter") {
  const ReadBatches found = read(
      "  - {batch: TR, protocol: p, plants: 301, ready: 2027-05-07, set: {heat: 20}, trial: "
      "{arms: {house: , warm: {set: {heat: 24}}, clip: {variant: clipped}}, trays: 4, blocks: "
      "[left, right], seed: 9}}\n");
  REQUIRE(found.problems.empty());
  REQUIRE(found.batches.size() == 3);
  std::map<std::string, const Batch*> arms;
  for (std::size_t i = 0; i < 3; ++i) {
    const Batch& batch = found.batches[i];
    REQUIRE(batch.trial);
    // By letter, so that the order tells nothing of the arm.
    CHECK(batch.id.value == std::string("TR-") + static_cast<char>('A' + i));
    CHECK(batch.trial->letter == static_cast<char>('A' + i));
    CHECK(batch.plants.value == 101);
    CHECK(batch.split_from == "TR");
    CHECK(batch.lead);
    arms[batch.trial->arm] = &batch;
  }
  REQUIRE(arms.size() == 3);
  CHECK(arms["house"]->protocol.value == "p");
  CHECK(arms["clip"]->protocol.value == "p.clipped");
  CHECK(arms["warm"]->set.at("heat").quantity.value == 24);
  CHECK(arms["house"]->set.at("heat").quantity.value == 20);
  int own = 0;
  for (int tray = 1; tray <= 12; ++tray) {
    if (arms["warm"]->trial->own_tray(std::to_string(tray)) != nullptr) ++own;
  }
  CHECK(own == 4);
  CHECK(arms["warm"]->trial->own_tray("13") == nullptr);
}

TEST_CASE("trials that cannot be") {
  const auto problems = [](const std::string& keys) {
    return read("  - {batch: TR, protocol: p, plants: 300, ready: 2027-05-07, trial: {" + keys +
                "}}\n")
        .problems;
  };
  CHECK(problems("trays: 4, seed: 1").starts_with("missing-key"));
  CHECK(problems("arms: {a: }, trays: 4, seed: 1").starts_with("wrong-value"));
  CHECK(problems("arms: {a: , b: }, trays: 1, seed: 1").starts_with("out-of-range"));
  CHECK(problems("arms: {a: , b: }, seed: 1").starts_with("missing-key"));
  CHECK(problems("arms: {a: , b: }, trays: 4").starts_with("missing-key"));
  CHECK(
      problems("arms: {a: , b: }, trays: 5, seed: 1, blocks: [x, y]").starts_with("uneven-trial"));
  CHECK(problems("arms: {a: , b: }, trays: 4, seed: 1, blocks: [x, x]").starts_with("repeated-"));
  CHECK(problems("arms: {a: {colour: red}, b: }, trays: 4, seed: 1").starts_with("unknown-key"));
  CHECK(read("  - {batch: TR, protocol: p, cultivars: {X: 9}, ready: 2027-05-07, trial: {arms: {a: "
             ", b: }, trays: 4, seed: 1}}\n")
            .problems.starts_with("two-splits"));
}

TEST_CASE("a batch follows a variant of its protocol") {
  const ReadBatches found = read(
      "  - {batch: V, protocol: p edition 2, variant: clipped, plants: 30, ready: 2027-05-07}\n");
  REQUIRE(found.batches.size() == 1);
  CHECK(found.batches[0].protocol.value == "p.clipped");
  CHECK(found.batches[0].edition->value == 2);
  const std::string text = batch_yaml(found.batches[0]);
  CHECK(text.find("protocol: p edition 2\n    variant: clipped\n") != std::string::npos);
  CHECK(read("  - {batch: V, protocol: p, variant: a b, plants: 3, ready: 2027-05-07}\n")
            .problems.starts_with("bad-name"));
}

TEST_CASE("trays are drawn in blocks, as many of each arm, and the same from the same seed") {
  const auto trays = draw_trays(3, 4, {"left", "right"}, 42);
  REQUIRE(trays.size() == 12);
  std::map<std::string, std::map<char, int>> counts;
  for (const TrialTray& tray : trays) ++counts[tray.block][tray.letter];
  REQUIRE(counts.size() == 2);
  for (const auto& [block, letters] : counts) {
    for (const auto& [letter, number] : letters) CHECK(number == 2);
  }
  const auto again = draw_trays(3, 4, {"left", "right"}, 42);
  std::string first, second, other;
  for (const TrialTray& tray : trays) first += tray.letter;
  for (const TrialTray& tray : again) second += tray.letter;
  for (const TrialTray& tray : draw_trays(3, 4, {"left", "right"}, 43)) other += tray.letter;
  CHECK(first == second);
  CHECK(first != other);
  // What a seed gives must never change: trays that were drawn stand on benches.
  CHECK(first.size() == 12);
}

TEST_CASE("every lot is as likely as any other") {
  // Two arms of two trays in one block: six lots, each about 1000 times of 6000.
  std::map<std::string, int> lots;
  for (std::uint64_t seed = 0; seed < 6000; ++seed) {
    std::string lot;
    for (const TrialTray& tray : draw_trays(2, 2, {""}, seed)) lot += tray.letter;
    ++lots[lot];
  }
  REQUIRE(lots.size() == 6);
  for (const auto& [lot, times] : lots) {
    CHECK(times > 880);  // 1000 less four standard deviations of 29
    CHECK(times < 1120);
  }
}
