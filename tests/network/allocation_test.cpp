// Counts what the test program takes from the heap.
#include <doctest/doctest.h>

#include <atomic>
#include <cstdlib>
#include <new>
#include <vector>

#include "network/network.hpp"

namespace {
std::atomic<long> allocations{0};
}

void* operator new(std::size_t size) {
  ++allocations;
  if (void* memory = std::malloc(size > 0 ? size : 1)) return memory;
  throw std::bad_alloc();
}
void operator delete(void* memory) noexcept {
  std::free(memory);
}
void operator delete(void* memory, std::size_t) noexcept {
  std::free(memory);
}

using namespace budwood;
using namespace budwood::network;

TEST_CASE("after the first call a solver takes nothing from the heap") {
  using enum calendar::Weekday;
  const calendar::WorkingDays working({monday, tuesday, thursday}, {});
  Network network;
  for (PointId i = 0; i < 100; ++i) {
    network.add_point(i % 3 == 0 ? &working.days() : nullptr);
    if (i > 0) network.add_link(i - 1, i, 2, 9);
    if (i > 10) network.add_link(i - 10, i, 30, 70);
  }
  network.set_not_after(99, 20000);
  network.set_not_before(0, 19000);
  Solver solver;
  std::vector<Day> days;
  REQUIRE(solver.latest(network, days));
  REQUIRE(solver.earliest(network, days));
  const long before = allocations;
  for (Day ready = 20000; ready > 19900; ready -= 7) {
    network.set_not_after(99, ready);
    REQUIRE(solver.latest(network, days));
    REQUIRE(solver.earliest(network, days));
  }
  CHECK(allocations - before < 15);  // none but what REQUIRE itself may take
}
