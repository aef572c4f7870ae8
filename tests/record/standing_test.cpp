#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <random>

#include "record/standing.hpp"

namespace budwood::record::test {

namespace {

Entry entry(const std::string& id, int turn, const std::string& corrects = "",
            What what = What::ended) {
  Entry out;
  out.id = id;
  out.turn = turn;
  out.corrects = corrects;
  out.what = what;
  return out;
}

std::string ids(std::vector<Entry> entries) {
  std::string out;
  for (const Entry& one : standing(std::move(entries))) out += one.id;
  return out;
}

}  // namespace

TEST_CASE("corrections take the place of what they correct, withdrawals leave nothing") {
  const Entry a = entry("a", 1);
  const Entry b = entry("b", 2, "a");
  CHECK(ids({a}) == "a");
  CHECK(ids({a, b}) == "b");
  CHECK(ids({b, a}) == "b");
  CHECK(ids({a, entry("c", 3, "a", What::withdrawal)}) == "");
  CHECK(ids({a, b, entry("c", 3, "b", What::withdrawal)}) == "a");
  CHECK(ids({a, b, entry("c", 3, "b")}) == "c");
  CHECK(ids({a, b, entry("c", 3, "a")}) == "c");
  CHECK(ids({a, b, entry("c", 3, "c")}) == "bc");
}

TEST_CASE("of an entry and all its corrections what was noted last holds, and nothing besides") {
  const auto back = What::withdrawal;
  const Entry a = entry("a", 1);
  const Entry b = entry("b", 2, "a");
  // A correction of a correction, and a later one of the first entry, in either order.
  CHECK(ids({a, b, entry("c", 3, "b"), entry("d", 4, "a")}) == "d");
  CHECK(ids({a, b, entry("c", 3, "a"), entry("d", 4, "b")}) == "d");
  CHECK(ids({a, b, entry("c", 3, "b"), entry("d", 4, "c"), entry("e", 5, "a")}) == "e");
  // A withdrawal takes back what it names; what that had replaced holds again.
  CHECK(ids({a, b, entry("c", 3, "b"), entry("w", 4, "c", back)}) == "b");
  CHECK(ids({a, b, entry("c", 3, "b"), entry("w", 4, "b", back)}) == "a");
  CHECK(ids({a, b, entry("c", 3, "a"), entry("w", 4, "b", back)}) == "c");
  CHECK(ids({a, b, entry("c", 3, "a"), entry("w", 4, "c", back)}) == "b");
  CHECK(ids({a, b, entry("w", 3, "a", back)}) == "");
  // A withdrawal that is taken back itself, and one that is corrected.
  CHECK(ids({a, entry("v", 2, "a", back), entry("w", 3, "v", back)}) == "a");
  CHECK(ids({a, b, entry("v", 3, "b", back), entry("w", 4, "v", back)}) == "b");
  CHECK(ids({a, entry("v", 2, "a", back), entry("c", 3, "v")}) == "c");
  CHECK(ids({a, b, entry("v", 3, "b", back), entry("c", 4, "v")}) == "c");
  CHECK(ids({a, b, entry("v", 3, "b", back), entry("c", 4, "v"), entry("w", 5, "c", back)}) == "a");
  CHECK(ids({a, b, entry("v", 3, "b", back), entry("c", 4, "b")}) == "c");
}

TEST_CASE("by lot: of each entry and its corrections one holds at most, and all know by what") {
  std::mt19937 random(5);
  for (int round = 0; round < 2000; ++round) {
    std::vector<Entry> entries;
    std::vector<std::size_t> first;  // of the tree of each
    const int count = 1 + static_cast<int>(random() % 9);
    for (int i = 0; i < count; ++i) {
      const bool root = i == 0 || random() % 5 == 0;
      const std::size_t of = root ? 0 : random() % static_cast<std::size_t>(i);
      entries.push_back(entry(std::string(1, static_cast<char>('a' + i)), i + 1,
                              root ? "" : entries[of].id,
                              !root && random() % 3 == 0 ? What::withdrawal : What::ended));
      first.push_back(root ? static_cast<std::size_t>(i) : first[of]);
    }
    const std::vector<Fate> fates = fates_of(entries);
    std::map<std::size_t, int> holding;
    for (std::size_t i = 0; i < entries.size(); ++i) {
      if (fates[i].holds) {
        CHECK(++holding[first[i]] == 1);
        CHECK(entries[i].what != What::withdrawal);
        CHECK_FALSE(fates[i].by);
      } else if (entries[i].what != What::withdrawal) {
        REQUIRE(fates[i].by);
        CHECK(*fates[i].by != i);
      }
    }
    // One more entry that corrects the first of a tree is noted last and holds alone.
    entries.push_back(entry("z", count + 1, entries[first.back()].id));
    const std::vector<Fate> then = fates_of(entries);
    CHECK(then.back().holds);
    for (std::size_t i = 0; i < first.size(); ++i) {
      if (first[i] == first.back()) CHECK_FALSE(then[i].holds);
    }
  }
}

TEST_CASE("an entry says nothing of later ones, so no circle takes anything out") {
  CHECK(ids({entry("a", 1, "b"), entry("b", 2, "a")}) == "b");
  CHECK(ids({entry("a", 2), entry("b", 1, "a")}) == "ba");
}

}  // namespace budwood::record::test
