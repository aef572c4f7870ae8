// Bringing seasons of batches under limited capacity: prints seconds, standings and bounds. A batch
// has ten stages in a row: twenty points and thirty uses of fifty resources.
#include <chrono>
#include <cstdio>
#include <random>

#include "levelling/levelling.hpp"

using namespace budwood::levelling;

namespace {

constexpr int stages = 10;
constexpr ResourceId rooms = 40;
constexpr ResourceId crews = 10;

struct Book {
  Problem problem;
  std::vector<Day> wanted;
};

/// Stages of 3 to 12 days with up to three days of waiting after each; every stage takes of a room
/// and has work on its first and its last day that may slip a day.
Book make_book(std::uint32_t batches, unsigned seed) {
  std::mt19937 random(seed);
  const auto number = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  Book book;
  Problem& p = book.problem;
  // Little more than what a day of the year asks for on average.
  const Amount room = static_cast<Amount>(batches) * 52 / 1000 + 20;
  const Amount people = static_cast<Amount>(batches) * 14 / 1000 + 6;
  for (ResourceId r = 0; r < rooms; ++r) p.resources.push_back({room, 0, {}, false});
  for (ResourceId r = 0; r < crews; ++r) p.resources.push_back({people, 0, {}, true});
  p.objectives.resize(2);
  for (GroupId g = 0; g < batches; ++g) {
    Day day = 1000 + number(0, 364);
    for (int stage = 0; stage < stages; ++stage) {
      const auto start = static_cast<PointId>(p.points.size());
      const PointId end = start + 1;
      const Day length = number(3, 12);
      p.points.push_back({day - 7, day + 14, nullptr, g});
      p.points.push_back({day + length - 7, day + length + 14, nullptr, g});
      book.wanted.insert(book.wanted.end(), {day, day + length});
      p.lags.push_back({start, end, length});
      p.lags.push_back({end, start, -length - 3});
      if (stage > 0) {
        p.lags.push_back({start - 1, start, 0});
        p.lags.push_back({start, start - 1, 0});
      }
      const auto where = static_cast<ResourceId>(number(0, rooms - 1));
      p.uses.push_back({where, number(5, 15), {start, 0}, {end, 0}});
      for (const PointId point : {start, end}) {
        Use work{rooms + static_cast<ResourceId>(number(0, crews - 1)),
                 number(1, 4),
                 {point, 0},
                 {point, 1}};
        work.slack = 1;
        work.apart = 1;
        p.uses.push_back(work);
      }
      p.objectives[1].push_back({start, day, 1, 1});
      day += length;
    }
    p.objectives[0].push_back({static_cast<PointId>(p.points.size() - 1), day, 1, 0});
  }
  return book;
}

double seconds_since(std::chrono::steady_clock::time_point begin) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

void print(const char* what, const Standing& standing) {
  std::printf("  %-8s unplaced %lld, missing %lld, costs", what,
              static_cast<long long>(standing.unplaced), static_cast<long long>(standing.missing));
  for (const Cost cost : standing.costs) std::printf(" %lld", static_cast<long long>(cost));
  std::printf("\n");
}

void season(std::uint32_t batches, std::uint64_t rounds) {
  const Book book = make_book(batches, 20270301);
  SeasonOptions options;
  options.wanted = book.wanted;
  options.rounds = rounds;
  const auto begin = std::chrono::steady_clock::now();
  const Season found = level_season(book.problem, options);
  std::printf("%u batches, %llu rounds: %.2f s, bound %lld, %zu clusters proven too much\n",
              batches, static_cast<unsigned long long>(rounds), seconds_since(begin),
              static_cast<long long>(found.bound[0]), found.proven_too_much.size());
  print("first", found.first);
  print("then", found.standing);
}

/// The complete search on its own.
void pieces() {
  for (const std::uint32_t batches : {2U, 4U, 8U}) {
    const Book book = make_book(batches, 7);
    SearchOptions options;
    options.conflicts = 20'000;
    const auto begin = std::chrono::steady_clock::now();
    const SearchResult result = search(book.problem, options);
    const double seconds = seconds_since(begin);
    std::printf("search, %u batches: status %d, %lld conflicts, %lld decisions, %.2f s\n", batches,
                static_cast<int>(result.status), static_cast<long long>(result.conflicts),
                static_cast<long long>(result.decisions), seconds);
  }
}

}  // namespace

int main() {
  pieces();
  for (const std::uint32_t batches : {100U, 1000U, 10'000U}) {
    season(batches, 0);
    season(batches, 1000);
  }
}
