#include <doctest/doctest.h>

#include <algorithm>

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

TEST_CASE("an entry says nothing of later ones, so no circle takes anything out") {
  CHECK(ids({entry("a", 1, "b"), entry("b", 2, "a")}) == "b");
  CHECK(ids({entry("a", 2), entry("b", 1, "a")}) == "ba");
}

}  // namespace budwood::record::test
