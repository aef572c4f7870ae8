#include <doctest/doctest.h>

#include <random>
#include <set>

#include "calendar/calendar.hpp"

using namespace budwood::calendar;

namespace {

/// The same days in a plain sorted set, to compare with.
struct Pair {
  DaySet fast;
  std::set<Day> plain;

  void insert(Day day) {
    fast.insert(day);
    if (day >= first_day && day <= last_day) plain.insert(day);
  }
};

std::set<Day> members(const DaySet& set) {
  std::set<Day> days;
  for (std::optional<Day> day = set.next(first_day); day; day = set.next(*day + 1)) {
    days.insert(*day);
  }
  return days;
}

/// A day anywhere, with the calendar's edges and the edges of machine words often among them.
Day random_day(std::mt19937& random) {
  switch (random() % 6) {
    case 0:
      return static_cast<Day>(random() % 200) - 100;
    case 1:
      return last_day - 100 + static_cast<Day>(random() % 200);
    case 2:
      return static_cast<Day>(random() % 1313) * 64 - static_cast<Day>(random() % 2);
    default:
      return static_cast<Day>(random() % (last_day + 1));
  }
}

Pair random_set(std::mt19937& random) {
  Pair set;
  const unsigned singles = random() % 60;
  for (unsigned i = 0; i < singles; ++i) set.insert(random_day(random));
  const unsigned ranges = random() % 4;
  for (unsigned i = 0; i < ranges; ++i) {
    const Day first = random_day(random);
    const Day last = first + static_cast<Day>(random() % 300) - 20;
    set.fast.insert(first, last);
    for (Day day = std::max(first, first_day); day <= std::min(last, last_day); ++day) {
      set.plain.insert(day);
    }
  }
  return set;
}

}  // namespace

TEST_CASE("a set of days behaves like a plain sorted set") {
  std::mt19937 random(5);
  for (int round = 0; round < 200; ++round) {
    Pair set = random_set(random);
    const Day out = random_day(random);
    set.fast.remove(out);
    set.plain.erase(out);
    REQUIRE(members(set.fast) == set.plain);
    CHECK(set.fast.size() == set.plain.size());
    CHECK(set.fast.empty() == set.plain.empty());
    for (int i = 0; i < 50; ++i) {
      const Day day = random_day(random);
      CHECK(set.fast.contains(day) == (set.plain.count(day) == 1));
      const auto after = set.plain.lower_bound(day);
      CHECK(set.fast.next(day) ==
            (after == set.plain.end() ? std::nullopt : std::optional<Day>(*after)));
      const auto beyond = set.plain.upper_bound(day);
      CHECK(set.fast.previous(day) ==
            (beyond == set.plain.begin() ? std::nullopt : std::optional<Day>(*std::prev(beyond))));
    }
  }
}

TEST_CASE("unions and intersections of days") {
  std::mt19937 random(6);
  for (int round = 0; round < 100; ++round) {
    const Pair a = random_set(random);
    const Pair b = random_set(random);
    DaySet both = a.fast;
    both &= b.fast;
    DaySet either = a.fast;
    either |= b.fast;
    std::set<Day> plain_both;
    for (const Day day : a.plain) {
      if (b.plain.count(day) == 1) plain_both.insert(day);
    }
    std::set<Day> plain_either = a.plain;
    plain_either.insert(b.plain.begin(), b.plain.end());
    CHECK(members(both) == plain_both);
    CHECK(members(either) == plain_either);
  }
}

TEST_CASE("days seen from another day") {
  std::mt19937 random(7);
  for (int round = 0; round < 200; ++round) {
    const Pair set = random_set(random);
    const Day offset = round % 2 == 0 ? static_cast<Day>(random() % 300) - 150
                                      : static_cast<Day>(random() % 180000) - 90000;
    std::set<Day> plain;
    for (const Day day : set.plain) {
      const Day seen = day - offset;
      if (seen >= first_day && seen <= last_day) plain.insert(seen);
    }
    REQUIRE(members(set.fast.seen_from(offset)) == plain);
  }
  CHECK(DaySet::all().seen_from(INT32_MIN).empty());
  CHECK(DaySet::all().seen_from(INT32_MAX).empty());
}

TEST_CASE("days near which there is a member") {
  std::mt19937 random(8);
  for (int round = 0; round < 100; ++round) {
    Pair set;
    for (unsigned i = random() % 20; i > 0; --i) set.insert(random_day(random));
    const Day from = static_cast<Day>(random() % 300) - 150;
    const Day to = from + static_cast<Day>(random() % 200);
    std::set<Day> plain;
    for (const Day day : set.plain) {
      for (Day k = from; k <= to; ++k) {
        if (day - k >= first_day && day - k <= last_day) plain.insert(day - k);
      }
    }
    REQUIRE(members(set.fast.any_within(from, to)) == plain);
  }
  DaySet one;
  one.insert(40000);
  CHECK(one.any_within(INT32_MIN, INT32_MAX) == DaySet::all());
  CHECK(one.any_within(3, 2).empty());
}

TEST_CASE("the whole calendar and nothing") {
  CHECK(DaySet::all().size() == last_day + 1);
  CHECK(DaySet::all().next(-5) == first_day);
  CHECK(DaySet::all().previous(last_day + 5) == last_day);
  CHECK_FALSE(DaySet::all().contains(last_day + 1));
  CHECK_FALSE(DaySet::all().contains(-1));
  CHECK(DaySet::none().empty());
  CHECK(DaySet() == DaySet::none());
  CHECK_FALSE(DaySet::none().next(0).has_value());
  CHECK_FALSE(DaySet::none().previous(last_day).has_value());
  CHECK(DaySet::between(10, 9).empty());
  CHECK(DaySet::between(INT32_MIN, INT32_MAX) == DaySet::all());
}
