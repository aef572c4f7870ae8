#include "record/together.hpp"

#include "known_method.hpp"
#include "record/entry.hpp"

namespace budwood::record::test {

namespace {

/// The entries of some lines, as they would be noted.
std::vector<Fresh> fresh_of(const std::string& text, KnownMethod& known) {
  const Lines lines(text, known);
  REQUIRE(lines.codes == std::vector<std::string>{});
  std::vector<Fresh> out;
  for (const Entry& entry : lines.entries) out.push_back({entry, {}});
  return out;
}

/// What is found when `now` is noted after `before`; @1 is the id of the first of these, and so on.
std::string found_in(const std::string& before, std::string now) {
  KnownMethod known;
  std::vector<Entry> there;
  for (const Fresh& one : fresh_of(before, known)) {
    there.push_back(one.entry);
    there.back().turn = static_cast<std::int64_t>(there.size());
  }
  known.noted = there;
  for (std::size_t i = 0; i < there.size(); ++i) {
    const std::string name = "@" + std::to_string(i + 1);
    for (std::size_t at = 0; (at = now.find(name)) != std::string::npos;) {
      now.replace(at, name.size(), there[i].id);
    }
  }
  text::Diagnostics found;
  check_together(there, fresh_of(now, known), known, found);
  std::string out;
  for (const text::Diagnostic& d : found.sorted()) out += d.code + " ";
  return out;
}

}  // namespace

TEST_CASE("a stage is not over before it began") {
  const std::string began = "BM27-1/healing started on 2027-04-10";
  CHECK(found_in(began, "BM27-1/healing ended on 2027-04-09") == "ended-before-start ");
  CHECK(found_in(began, "BM27-1/healing ended on 2027-04-10") == "");
  CHECK(found_in(began, "BM27-1/grafting ended on 2027-04-09") == "");
  CHECK(found_in("BM27-1/healing ended on 2027-04-09", began) == "ended-before-start ");
  CHECK(found_in("BM27-1/healing ended on 2027-04-10", began) == "");
  // In one run it is told once.
  CHECK(found_in("", began + "\nBM27-1/healing ended on 2027-04-09") == "ended-before-start ");
  CHECK(found_in("", "BM27-1/healing ended on 2027-04-09\n" + began) == "ended-before-start ");
  // What is corrected or withdrawn in the same run is in nobody's way.
  CHECK(found_in(began,
                 "correct @1 with BM27-1/healing started on 2027-04-08\n"
                 "BM27-1/healing ended on 2027-04-09") == "");
  CHECK(found_in(began, "BM27-1/healing ended on 2027-04-09\nwithdraw @1") == "");
  // Days of a whole batch hold for its cultivars, unless one of them has its own.
  CHECK(found_in("C/healing started on 2027-04-10", "C-c1/healing ended on 2027-04-09") ==
        "ended-before-start ");
  CHECK(found_in("C-c1/healing started on 2027-04-10", "C/healing ended on 2027-04-09") ==
        "ended-before-start ");
  CHECK(found_in("C/healing started on 2027-04-10\nC-c1/healing started on 2027-04-08",
                 "C-c1/healing ended on 2027-04-09") == "");
  // Of the day of a cultivar and that of the whole, the one that was noted last holds.
  CHECK(found_in("C-c1/healing started on 2027-04-08\nC/healing started on 2027-04-10",
                 "C-c1/healing ended on 2027-04-09") == "ended-before-start ");
}

TEST_CASE("nothing happens to a batch after it was given up") {
  const std::string stop = "BM27-1 stopped on 2027-04-10 \"frost\"";
  for (const char* line :
       {"BM27-1/healing/1/1 done on 2027-04-11", "BM27-1/healing counted 12 on 2027-04-11",
        "BM27-1/healing started on 2027-04-11", "BM27-1/healing ended on 2027-04-11",
        "BM27-1/healing seen buds on 2027-04-11", "BM27-1/healing left out on 2027-04-11 \"x\""}) {
    CAPTURE(line);
    CHECK(found_in(stop, line) == "after-stop ");
    CHECK(found_in(line, stop) == "after-stop ");
  }
  // What happened up to that day is part of its history, whenever it is noted.
  for (const char* line :
       {"BM27-1/healing/1/1 done on 2027-04-10", "BM27-1/healing ended on 2027-04-10",
        "BM27-1/healing ended on 2027-04-08", "BM27-1/healing counted 12 on 2027-04-08"}) {
    CAPTURE(line);
    CHECK(found_in(stop, line) == "");
    CHECK(found_in(line, stop) == "");
  }
  CHECK(found_in(stop, "BM27-1 note \"cleared\" on 2027-04-20") == "");
  CHECK(found_in(stop, "2027-A/healing/1/1 done on 2027-04-11") == "");
  CHECK(found_in(stop, "withdraw @1\nBM27-1/healing/1/1 done on 2027-04-11") == "");
  CHECK(found_in("C stopped on 2027-04-10 \"frost\"", "C-c2/healing counted 3 on 2027-04-12") ==
        "after-stop ");
}

TEST_CASE("a day years away from those of the batch is a slip") {
  // The batch is planned from March to June 2027.
  CHECK(found_in("", "BM27-1/healing ended on 2072-04-10") == "far-day ");
  CHECK(found_in("", "BM27-1/healing ended on 2017-04-10") == "far-day ");
  CHECK(found_in("", "BM27-1/healing ended on 2028-12-10") == "");
  // Two years beside them are nobody's slip, in either direction; a day more is.
  CHECK(found_in("", "BM27-1/healing ended on 2029-07-01") == "");
  CHECK(found_in("", "BM27-1/healing ended on 2029-07-03") == "far-day ");
  CHECK(found_in("", "BM27-1/healing ended on 2025-02-27") == "");
  CHECK(found_in("", "BM27-1/healing ended on 2025-02-26") == "far-day ");
  CHECK(found_in("", "stock mix 3 L on 2127-04-10") == "far-day ");
}

}  // namespace budwood::record::test
