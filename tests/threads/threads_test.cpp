#include "threads/threads.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <chrono>
#include <set>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

using namespace budwood::threads;

TEST_CASE("each piece is done once, on any number of threads") {
  for (const std::size_t threads : {1, 2, 3, 16}) {
    for (const std::size_t pieces : {0, 1, 2, 1000}) {
      std::vector<std::atomic<int>> done(pieces);
      each_piece(
          pieces, [&](std::size_t piece) { ++done[piece]; }, threads);
      for (const std::atomic<int>& one : done) CHECK(one == 1);
    }
  }
}

TEST_CASE("two pieces are worked on at once, and who calls is one of the two") {
  std::atomic<int> there = 0;
  std::vector<std::thread::id> by(2);
  each_piece(
      2,
      [&](std::size_t piece) {
        by[piece] = std::this_thread::get_id();
        ++there;
        // Neither ends before the other has begun.
        while (there < 2) std::this_thread::yield();
      },
      2);
  CHECK(by[0] != by[1]);
  CHECK(std::set(by.begin(), by.end()).contains(std::this_thread::get_id()));
}

TEST_CASE("a worker does one piece at a time") {
  std::vector<std::thread::id> of_worker(3);
  std::vector<std::size_t> done(3, 0);  // by worker: no two write to one place
  each_piece(
      1000,
      [&](std::size_t, std::size_t worker) {
        if (done[worker]++ == 0) of_worker[worker] = std::this_thread::get_id();
        CHECK(of_worker[worker] == std::this_thread::get_id());
      },
      3);
  CHECK(done[0] + done[1] + done[2] == 1000);
  if (done[0] > 0) CHECK(of_worker[0] == std::this_thread::get_id());
}

TEST_CASE("one piece, or one thread, starts no other") {
  const auto here = std::this_thread::get_id();
  each_piece(
      1, [&](std::size_t) { CHECK(std::this_thread::get_id() == here); }, 4);
  std::vector<std::size_t> order;
  each_piece(
      5,
      [&](std::size_t piece) {
        CHECK(std::this_thread::get_id() == here);
        order.push_back(piece);
      },
      1);
  CHECK(order == std::vector<std::size_t>{0, 1, 2, 3, 4});
}

TEST_CASE("the exception is the one that a loop would have met") {
  for (int i = 0; i < 50; ++i) {
    std::atomic<std::size_t> begun = 0;
    const auto work = [&](std::size_t piece) {
      ++begun;
      if (piece == 40) std::this_thread::sleep_for(std::chrono::microseconds(200));
      if (piece >= 40) throw std::runtime_error(std::to_string(piece));
    };
    CHECK_THROWS_WITH_AS(each_piece(1000, work, 3), "40", std::runtime_error);
    CHECK(begun <= 40 + 3);  // nothing is begun once something went wrong
  }
}

TEST_CASE("pieces cover everything, in order") {
  for (const std::size_t count : {0, 1, 9, 10, 11, 100}) {
    const Pieces pieces{count, 10};
    std::size_t next = 0;
    for (std::size_t i = 0; i < pieces.number(); ++i) {
      CHECK(pieces.begin(i) == next);
      next = pieces.end(i);
      CHECK(next > pieces.begin(i));
    }
    CHECK(next == count);
  }
}

TEST_CASE("at least one piece is worked on, at most four") {
  CHECK(at_once() >= 1);
  CHECK(at_once() <= 4);
}
